package progress

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/gofrs/flock"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/replace"
)

// FileName is the name of the file of progress, which lies beside the plan.
const FileName = "progress.json"

// Version of the format. Load refuses any other.
const Version = 1

// File is what becomes of one plan.
type File struct {
	Version int         `json:"version"`
	Unit    string      `json:"unit"` // of every length
	Job     plan.JobRef `json:"job"`
	// Plan is the number of the plan, Digest its digest.
	Plan   string `json:"plan"`
	Digest string `json:"digest"`
	// Rest is what of the job the plan answers; nil where it is all of it.
	Rest *Rest `json:"rest,omitempty"`
	// State is where things stood when the plan was made.
	State  State   `json:"state"`
	Events []Event `json:"events"`
	// Next is the folder, from this one, of the plan that took over.
	Next string `json:"next,omitempty"`
	// Booked is the date on which the plan was booked, after which nothing is noted.
	Booked string `json:"booked,omitempty"`
}

// Begin is the file of a plan of which nothing is cut yet. Rest is nil for a
// plan of the whole job.
func Begin(p *plan.Plan, rest *Rest, s State) *File {
	return &File{Version: Version, Unit: plan.LengthUnit, Job: p.Job, Plan: p.Number, Digest: p.Digest, Rest: rest, State: s, Events: []Event{}}
}

// Encode is the file as bytes.
func (f *File) Encode() ([]byte, error) {
	data, err := json.MarshalIndent(f, "", " ")
	return append(data, '\n'), err
}

// Load reads the progress of a plan from a folder; nil where there is none.
func Load(dir string) (*File, error) {
	data, err := os.ReadFile(filepath.Join(dir, FileName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var f File
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return nil, fmt.Errorf("%s: this is no file of progress, or was changed by hand (%v); put back a copy, or remove it to begin anew", filepath.Join(dir, FileName), err)
	}
	if f.Version != Version || f.Unit != plan.LengthUnit {
		return nil, fmt.Errorf("%s: version %d in %q, this program reads %d in %q", filepath.Join(dir, FileName), f.Version, f.Unit, Version, plan.LengthUnit)
	}
	return &f, nil
}

// Of says whether the file is of a plan.
func (f *File) Of(p *plan.Plan) bool { return f.Digest == p.Digest }

// Change reads the file of a folder, has change put another in its place, and
// returns when that is on the disk: no other process changes it meanwhile, and
// whatever happens, either the old file is there or the new one. change gets nil
// where there is no file.
func Change(dir string, change func(*File) (*File, error)) (err error) {
	path := filepath.Join(dir, FileName)
	lock := flock.New(filepath.Join(dir, ".progress.lock"))
	if err := lock.Lock(); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, lock.Unlock()) }()
	old, err := Load(dir)
	if err != nil {
		return err
	}
	f, err := change(old)
	if err != nil {
		return err
	}
	data, err := f.Encode()
	if err != nil {
		return err
	}
	return replace.File(path, data)
}

// JobOf is the job that the file's plan answers.
func (f *File) JobOf(j *job.Job) *job.Job {
	if f == nil || f.Rest == nil {
		return j
	}
	return f.Rest.Job(j)
}

// For is the progress of a plan by what is on file beside it: begun where nothing
// is. It refuses, in one sentence, progress of another plan, and of one that was
// followed by another.
func For(j *job.Job, p *plan.Plan, dir string, f *File) (*File, error) {
	switch {
	case f == nil:
		return Begin(p, nil, Start(j, p)), nil
	case !f.Of(p):
		return nil, fmt.Errorf("%s is of plan no. %s, and the plan beside it has no. %s; name the pack that is being cut", filepath.Join(dir, FileName), f.Plan, p.Number)
	case f.Next != "":
		return nil, fmt.Errorf("plan no. %s was followed by the one in %s; name that", f.Plan, filepath.Join(dir, filepath.FromSlash(f.Next)))
	case f.Booked != "":
		return nil, fmt.Errorf("plan no. %s was booked on %s, and nothing more is noted of it; plan the job anew in another folder", f.Plan, f.Booked)
	}
	return f, nil
}

// Note puts events of a plan on file and returns the file: what more makes of the
// progress so far, which Add has found good.
func Note(j *job.Job, p *plan.Plan, dir string, more func(*File) ([]Event, error)) (after *File, err error) {
	err = Change(dir, func(f *File) (*File, error) {
		f, err := For(j, p, dir, f)
		if err != nil {
			return nil, err
		}
		changed := *f
		if changed.Events, err = more(f); err != nil {
			return nil, err
		}
		after = &changed
		return after, nil
	})
	return after, err
}
