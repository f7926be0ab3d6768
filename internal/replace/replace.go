// Package replace writes a file anew, whole or not at all.
package replace

import (
	"errors"
	"os"
	"path/filepath"
)

// File puts data in the place of the file at path, or makes it, and returns when
// that is on the disk: whatever happens, either the old file is there or the new
// one. It keeps the permissions that the file had.
func File(path string, data []byte) error {
	mode := os.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		mode = info.Mode().Perm()
	}
	t, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-")
	if err != nil {
		return err
	}
	defer os.Remove(t.Name())
	_, err = t.Write(data)
	if err = errors.Join(err, t.Sync(), t.Close(), os.Chmod(t.Name(), mode)); err != nil {
		return err
	}
	if err := os.Rename(t.Name(), path); err != nil {
		return err
	}
	// Where folders can be opened the new name is on the disk too before it counts.
	if d, err := os.Open(filepath.Dir(path)); err == nil {
		defer d.Close()
		_ = d.Sync()
	}
	return nil
}
