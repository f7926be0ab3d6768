package report

import (
	"os"
	"path/filepath"
	"testing"
)

// TestDump writes the packs where SAWBILL_LOOK says, for eyes.
func TestDump(t *testing.T) {
	dir := os.Getenv("SAWBILL_LOOK")
	if dir == "" {
		t.Skip("SAWBILL_LOOK names no folder: nothing is written to look at")
	}
	p, j := hide(t)
	files, messages, err := Pack(p, j)
	if err != nil {
		t.Fatal(err)
	}
	look(t, filepath.Join(dir, "hide"), files)
	Summary(os.Stdout, p, j, "hide/pack")
	t.Log(messages)
	p, j = barrow(t)
	files, messages, err = Pack(p, j)
	if err != nil {
		t.Fatal(err)
	}
	look(t, filepath.Join(dir, "barrow"), files)
	Summary(os.Stdout, p, j, "barrow/pack")
	t.Log(messages)
}

func look(t *testing.T, dir string, files []File) {
	for _, f := range files {
		name := filepath.Join(dir, filepath.FromSlash(f.Path))
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, f.Data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
