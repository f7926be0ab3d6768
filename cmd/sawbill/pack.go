package main

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/report"
)

// contentsName lists what a pack was written with, in the form sha256sum -c
// reads, so that the next run knows which files are its own to replace.
const contentsName = "contents.txt"

// writable refuses, before any work is done, a folder that cannot take a pack.
func writable(dir string) error {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fail(exitFiles, "the pack cannot be written: %w", err)
	case !info.IsDir():
		return fail(exitFiles, "%s is a file; name a folder for the pack with -o", dir)
	}
	return nil
}

// papers draws papers, named in the plural or with "the pack", tells what is
// remarkable about them, and writes them with further files into a folder.
func papers(what, dir string, stderr io.Writer, draw func() ([]report.File, []job.Message, error), more ...report.File) error {
	files, err := drawPapers(what, stderr, draw)
	if err != nil {
		return err
	}
	return writePack(dir, append(files, more...))
}

// drawPapers draws papers and tells what is remarkable about them.
func drawPapers(what string, stderr io.Writer, draw func() ([]report.File, []job.Message, error)) ([]report.File, error) {
	files, remarks, err := draw()
	if err != nil {
		return nil, fail(exitBroken, "%s could not be drawn: %w", what, err)
	}
	printRemarks(stderr, remarks)
	return files, nil
}

// writePack writes all files or, when one cannot be made, none: everything is
// written beside its place first, then moved in, and what an earlier pack left
// that this one has no more is removed. Files of the user's own stay.
func writePack(dir string, files []report.File) (err error) {
	files = append(slices.Clip(files), contents(files))
	own := ownFiles(dir)
	for _, f := range files {
		_, statErr := os.Lstat(filepath.Join(dir, filepath.FromSlash(f.Path)))
		if statErr == nil && !own[f.Path] {
			return fail(exitFiles, "%s exists and is not from an earlier pack; move it away or name another folder with -o",
				filepath.Join(dir, filepath.FromSlash(f.Path)))
		}
	}
	if err := os.MkdirAll(filepath.Dir(filepath.Clean(dir)), 0o755); err != nil {
		return fail(exitFiles, "the pack cannot be written: %w", err)
	}
	stage, err := os.MkdirTemp(filepath.Dir(filepath.Clean(dir)), ".pack-")
	if err != nil {
		return fail(exitFiles, "the pack cannot be written: %w", err)
	}
	defer os.RemoveAll(stage)
	for _, f := range files {
		if err := writeFile(filepath.Join(stage, filepath.FromSlash(f.Path)), f.Data); err != nil {
			return fail(exitFiles, "the pack cannot be written: %w", err)
		}
	}
	for _, f := range files {
		target := filepath.Join(dir, filepath.FromSlash(f.Path))
		err := os.MkdirAll(filepath.Dir(target), 0o755)
		if err == nil {
			err = os.Rename(filepath.Join(stage, filepath.FromSlash(f.Path)), target)
		}
		if err != nil {
			return fail(exitFiles, "the pack cannot be written whole: %w", err)
		}
		delete(own, f.Path)
	}
	removeStale(dir, own)
	return nil
}

func writeFile(path string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return os.WriteFile(path, data, 0o644)
}

// contents lists the files with their SHA-256.
func contents(files []report.File) report.File {
	var b bytes.Buffer
	for _, f := range files {
		sum := sha256.Sum256(f.Data)
		fmt.Fprintf(&b, "%s  %s\n", hex.EncodeToString(sum[:]), f.Path)
	}
	return report.File{Path: contentsName, Data: b.Bytes()}
}

// ownFiles are the paths the last pack in the folder was written with.
func ownFiles(dir string) map[string]bool {
	own := map[string]bool{}
	data, err := os.ReadFile(filepath.Join(dir, contentsName))
	if err != nil {
		return own
	}
	own[contentsName] = true
	lines := bufio.NewScanner(bytes.NewReader(data))
	for lines.Scan() {
		if _, path, ok := strings.Cut(lines.Text(), "  "); ok && filepath.IsLocal(filepath.FromSlash(path)) {
			own[path] = true
		}
	}
	return own
}

// removeStale deletes what an earlier pack left, and folders that empties. A
// file that cannot be removed stays: it is listed nowhere and harms nothing.
func removeStale(dir string, stale map[string]bool) {
	for path := range stale {
		target := filepath.Join(dir, filepath.FromSlash(path))
		os.Remove(target)
		for parent := filepath.Dir(target); parent != filepath.Clean(dir); parent = filepath.Dir(parent) {
			if os.Remove(parent) != nil {
				break
			}
		}
	}
}
