package rack

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
)

// Owner is a job that pieces are reserved for. Jobs of one name in two folders are
// two; in one folder they are one, such as the revisions of a job.
type Owner struct {
	Job string // its name
	// Folder is where it lies, absolute; empty for what was noted before folders
	// were, which goes for any job of the name.
	Folder string
}

// Is says that two names are of one job. A job whose folder is gone has been moved,
// or named anew.
func (o Owner) Is(p Owner) bool {
	return o.Job == p.Job && (o.Folder == p.Folder || gone(o.Folder) || gone(p.Folder))
}

func gone(folder string) bool {
	if folder == "" {
		return true
	}
	_, err := os.Stat(folder)
	return errors.Is(err, fs.ErrNotExist)
}

// beside is the name of a job as another is told of it: with its folder where the
// names are the same.
func (o Owner) beside(p Owner) string {
	if o.Job != p.Job || o.Folder == "" {
		return fmt.Sprintf("%q", o.Job)
	}
	return fmt.Sprintf("%q in %s", o.Job, o.Folder)
}
