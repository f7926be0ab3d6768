package solver_test

import (
	"os"
	"os/exec"
	"regexp"
	"testing"
)

// TestNothingFused compiles for arm64, where Go may fuse x*y + z into one
// rounding, and looks for such instructions in the code of this package and
// the embedded engine: one would give other bytes there than on amd64.
func TestNothingFused(t *testing.T) {
	if os.Getenv("SAWBILL_FULL") != "1" {
		t.Skip("SKIPPED: compiles for arm64; set SAWBILL_FULL=1 to run it")
	}
	build := exec.Command("go", "build", "-gcflags=-S", ".", "./embedded")
	build.Env = append(os.Environ(), "GOARCH=arm64", "GOOS=linux", "CGO_ENABLED=0")
	listing, err := build.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, listing)
	}
	if len(listing) < 1000 {
		t.Fatalf("the listing is too short to be one: %q", listing)
	}
	for _, line := range regexp.MustCompile(`(?m)^.*\bFN?M(ADD|SUB)[DS]\b.*$`).FindAll(listing, 10) {
		t.Errorf("%s", line)
	}
}
