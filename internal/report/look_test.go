package report

import (
	"os"
	"path/filepath"
	"testing"
)

// TestWriteToLookAt writes the packs where SAWBILL_LOOK says, for eyes.
func TestWriteToLookAt(t *testing.T) {
	dir := os.Getenv("SAWBILL_LOOK")
	if dir == "" {
		t.Skip("SAWBILL_LOOK names no folder: nothing is written to look at")
	}
	for _, e := range examples(t) {
		files, messages := pack(t, e)
		look(t, filepath.Join(dir, e.name), files)
		if err := Summary(os.Stdout, e.plan, e.job, e.name+"/pack"); err != nil {
			t.Fatal(err)
		}
		t.Log(messages)
	}
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
