package main

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/compare"
	"sawbill/internal/plan/option"
	"sawbill/internal/plan/planner"
	"sawbill/internal/report"
	"sawbill/internal/web"
)

// program has the pages do what the commands do.
func program(rackFile string) web.Program {
	usual := settings{effort: string(planner.Normal), seed: 1, limit: defaultLimit}
	return web.Program{
		Stopped: planner.ErrInterrupted,
		Plan: func(ctx context.Context, path string, progress func(web.Progress)) (*plan.Plan, error) {
			ctx, cancel := context.WithTimeout(ctx, usual.limit)
			defer cancel()
			j, err := readJob(path)
			if err != nil {
				return nil, err
			}
			j, on, err := served(rackFile).stocked(ctx, j, path)
			if err != nil {
				return nil, err
			}
			defer on.close()
			p, err := planner.Make(ctx, j, planner.Options{Effort: planner.Effort(usual.effort), Seed: usual.seed, Progress: func(p planner.Progress) {
				progress(web.Progress{Material: p.Material, Value: p.Value, Bound: p.Bound, Found: p.Found, Done: p.Done})
			}})
			if err != nil {
				return nil, err
			}
			return p, pack(j, p, on, filepath.Join(filepath.Dir(path), "pack"), io.Discard)
		},
		Replan: func(_ context.Context, path, folder string) (string, error) {
			w, err := openWork(path, folder)
			if err != nil {
				return "", err
			}
			out := following(w.dir)
			return out, w.replan(out, usual, served(rackFile), io.Discard, io.Discard)
		},
		New: func(list, folder string) error {
			if strings.EqualFold(filepath.Ext(list), ".dxf") {
				return newDrawing(list, folder)
			}
			text, err := job.New(list)
			if err != nil {
				return err
			}
			return writeNew(filepath.Join(folder, "job.toml"), text)
		},
		Example: func(folder string) error {
			_, err := writeDemo(folder)
			return err
		},
		Papers:   report.Screen,
		Drawings: report.Drawings,
		Compare: func(ctx context.Context, path string, progress func(done, of int)) error {
			ctx, cancel := context.WithTimeout(ctx, usual.limit)
			defer cancel()
			j, err := readJob(path)
			if err != nil {
				return err
			}
			j, on, err := served(rackFile).stocked(ctx, j, path)
			if err != nil {
				return err
			}
			on.close()
			_, err = lay(ctx, j, filepath.Join(filepath.Dir(path), "compare"), usual, io.Discard, progress, func() {})
			return err
		},
		Options: func(path string, j *job.Job) (*web.Options, error) { return options(path, rackFile, j) },
		Rack:    func(ctx context.Context) (web.Rack, error) { return openRack(ctx, rackFile) },
	}
}

// served is the rack that the pages plan with: a file that is named and not there
// yet has nothing on it.
func served(rackFile string) rackChoice {
	if _, err := os.Stat(rackFile); rackFile != "" && errors.Is(err, fs.ErrNotExist) {
		return rackChoice{file: job.NoRack}
	}
	return rackChoice{file: rackFile}
}

// options are those of a job as they were last compared; nil where they were not.
func options(path, rackFile string, j *job.Job) (*web.Options, error) {
	data, err := os.ReadFile(filepath.Join(filepath.Dir(path), "compare", optionsName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var t option.Table
	if err == nil {
		err = json.Unmarshal(data, &t)
	}
	if err != nil {
		return nil, fail(exitFiles, "the comparison cannot be read (%w); compare again", err)
	}
	j, on, err := served(rackFile).stocked(context.Background(), j, path)
	if err != nil {
		return nil, err
	}
	on.close()
	o := &web.Options{Stale: t.Job.Digest != j.Digest}
	if o.Stale {
		return o, nil
	}
	if o.Paper, err = report.CompareScreen(&t, j); err != nil {
		return nil, err
	}
	for _, r := range append(t.Rows, t.WhatIfs...) {
		if r.Kind == option.AsOffered || !r.Planned {
			continue
		}
		c := web.Choice{Name: r.Name, Total: r.Total.String() + " " + t.Currency}
		if t, err := compare.Take(j, r.Name); err != nil {
			c.Refused = upper(err.Error()) + "."
		} else {
			c.Without, c.Variant, c.For = t.Without, t.Variant, t.For
		}
		o.Choices = append(o.Choices, c)
	}
	return o, nil
}

// upper is a sentence with a capital letter.
func upper(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(r)) + text[n:]
}
