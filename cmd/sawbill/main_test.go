package main

import (
	"os"
	"os/exec"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"sawbill": func() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) },
		"edit":    edit,
	})
}

// TestScripts runs the program as a person does, one script a topic.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Condition: func(name string) (bool, error) {
			_, err := exec.LookPath(name)
			if err != nil {
				t.Logf("LEFT OUT: %s is not installed", name)
			}
			return err == nil, nil
		},
	})
}
