package archtest

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const (
	module = "sawbill"
	root   = "../.." // of the module, from here
)

// allowed says, for each package, which others of the module it may import
// outside its tests. Paths are below the module; a path ending in /... covers
// everything below it, on either side of the table; the most exact entry on
// the left counts. Tests may import what they please.
var allowed = map[string][]string{
	"solver":              {},
	"solver/internal/...": {"solver"},
	"solver/embedded":     {"solver", "solver/internal/..."},
	"solver/glpk":         {"solver", "solver/internal/..."},
	"solver/lptest":       {"solver"},

	"nest1d": {"solver", "solver/embedded"},
	"nest2d": {"nest2d/knapsack", "solver", "solver/embedded"},
	"bench":  {"nest1d", "nest2d", "nest2d/knapsack", "solver"},

	"nest2d/geom":     {},
	"nest2d/knapsack": {},

	"internal/length":        {},
	"internal/parallel":      {},
	"internal/section":       {"internal/length"},
	"internal/rivet":         {"nest2d/geom"},
	"internal/dxf":           {"internal/length", "nest2d/geom"},
	"internal/rack":          {"internal/length", "internal/section"},
	"internal/job":           {"internal/length", "internal/section", "internal/rivet", "internal/dxf", "nest2d/geom"},
	"internal/plan":          {"internal/length"},
	"internal/plan/mass":     {"internal/plan", "internal/job", "internal/section", "internal/length"},
	"internal/account":       {"internal/plan/mass", "internal/plan", "internal/job", "internal/section", "internal/length"},
	"internal/plan/planner":  {"internal/parallel", "internal/plan/mass", "internal/plan", "internal/job", "internal/section", "internal/length", "internal/plan/purchase", "nest1d", "nest2d", "nest2d/geom"},
	"internal/plan/purchase": {"solver", "solver/embedded"},
	"internal/plan/truth":    {},
	"internal/plan/check":    {"internal/plan", "internal/job", "internal/section", "internal/length", "nest2d/geom"},
	"internal/plan/option":   {"internal/plan", "internal/length"},
	"internal/plan/change":   {"internal/plan", "internal/job", "internal/section", "internal/length"},
	"internal/plan/saving":   {"internal/parallel", "internal/plan/check", "internal/plan/change", "internal/plan", "internal/job", "internal/section", "internal/length"},
	"internal/web":           {"internal/report/screen", "internal/rack", "internal/replace", "internal/progress", "internal/plan", "internal/job", "internal/section", "internal/length"},
	"internal/qr":            {},
	"internal/web/browser":   {},
	"internal/report/screen": {},
	"internal/replace":       {},
	"internal/order":         {"internal/replace", "internal/plan", "internal/length"},
	"internal/progress":      {"internal/replace", "internal/plan", "internal/job", "internal/section", "internal/length"},
	"internal/plan/replan":   {"internal/progress", "internal/plan/planner", "internal/plan/check", "internal/plan", "internal/job"},
	"internal/plan/compare":  {"internal/parallel", "internal/plan/planner", "internal/plan/check", "internal/plan/option", "internal/plan", "internal/job", "internal/section", "internal/length"},

	"internal/report":     {"internal/qr", "nest2d/geom", "internal/dxf", "internal/rivet", "internal/report/...", "internal/account", "internal/plan/mass", "internal/plan/option", "internal/plan/change", "internal/plan/saving", "internal/plan", "internal/job", "internal/section", "internal/length"},
	"internal/report/...": {"internal/report/...", "internal/plan", "internal/job", "internal/section", "internal/length"},

	"internal/archtest": {},
	"cmd/sawbill":       {"..."},
}

// engines make plans; the packages of without may not reach them by any path.
// Plane geometry lies below an engine but makes no plans: it is in measures.
var (
	engines  = []string{"solver", "solver/...", "nest1d", "nest1d/...", "nest2d", "nest2d/..."}
	measures = []string{"nest2d/geom"}
	without  = []string{"internal/plan/check", "internal/plan/option", "internal/plan/change", "internal/plan/saving", "internal/report", "internal/report/...", "internal/account", "internal/job", "internal/section", "internal/length"}
)

// mayUseC lists the packages that may call C, and only under their build tag.
var mayUseC = []string{"solver/glpk"}

// node is a package as 'go list -json' tells it.
type node struct {
	ImportPath string
	Imports    []string
	Deps       []string
}

// local is a package's path below the module, or false for a foreign one.
func local(path string) (string, bool) {
	if path == module {
		return ".", true
	}
	return strings.CutPrefix(path, module+"/")
}

// covers tells whether a path matches a pattern of the table.
func covers(pattern, path string) bool {
	prefix, wide := strings.CutSuffix(pattern, "...")
	if wide {
		return strings.HasPrefix(path, prefix)
	}
	return path == pattern
}

func coversAny(patterns []string, path string) bool {
	return slices.ContainsFunc(patterns, func(p string) bool { return covers(p, path) })
}

// entry finds the most exact row of the table for a path.
func entry(path string) ([]string, bool) {
	best, found := "", false
	for pattern := range allowed {
		if covers(pattern, path) && (!found || len(pattern) > len(best)) {
			best, found = pattern, true
		}
	}
	return allowed[best], found
}

// violations lists what is wrong with a graph of packages, one sentence each.
func violations(graph []node) []string {
	var faults []string
	for _, n := range graph {
		path, ours := local(n.ImportPath)
		if !ours {
			continue
		}
		may, known := entry(path)
		if !known {
			faults = append(faults, fmt.Sprintf("%s is not in the table of allowed imports: add it to the table with what it may import", path))
			continue
		}
		for _, imported := range n.Imports {
			if imported == "C" && !slices.Contains(mayUseC, path) {
				faults = append(faults, fmt.Sprintf("%s imports \"C\": only %s may", path, strings.Join(mayUseC, ", ")))
			}
			if to, ours := local(imported); ours && !coversAny(may, to) {
				faults = append(faults, fmt.Sprintf("%s imports %s, which it may not: move the shared part below both", path, to))
			}
		}
		if !coversAny(without, path) {
			continue
		}
		for _, dep := range n.Deps {
			if to, ours := local(dep); ours && coversAny(engines, to) && !coversAny(measures, to) {
				faults = append(faults, fmt.Sprintf("%s reaches the engine %s through its imports", path, to))
			}
		}
	}
	slices.Sort(faults)
	return faults
}

// list reads the module's packages with the go command.
func list(t *testing.T, flags ...string) []node {
	t.Helper()
	args := append([]string{"list", "-json=ImportPath,Imports,Deps"}, flags...)
	text, err := gocmd(args, "CGO_ENABLED=1")
	if err != nil {
		t.Fatal(err)
	}
	var graph []node
	for decoder := json.NewDecoder(bytes.NewReader(text)); ; {
		var n node
		if err := decoder.Decode(&n); errors.Is(err, io.EOF) {
			return graph
		} else if err != nil {
			t.Fatal(err)
		}
		graph = append(graph, n)
	}
}

// watch looks at every folder of the module, so that a cached result of these
// tests is dropped once a file changes: the cache knows what a test reads, but
// not what the go command reads for it.
func watch(t *testing.T) {
	t.Helper()
	err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err == nil && entry.IsDir() && path != root && strings.HasPrefix(entry.Name(), ".") {
			return fs.SkipDir
		}
		if errors.Is(err, fs.ErrNotExist) {
			return nil // a file that came and went
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// gocmd runs the go command at the root of the module.
func gocmd(args []string, env ...string) ([]byte, error) {
	cmd := exec.Command("go", args...)
	cmd.Dir = root
	cmd.Env = append(os.Environ(), env...)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("go %s: %w\n%s", strings.Join(args, " "), err, errs.Bytes())
	}
	return out.Bytes(), nil
}

func TestArrowsPointDown(t *testing.T) {
	watch(t)
	for _, flags := range [][]string{{"./..."}, {"-tags", "glpk", "./..."}} {
		graph := list(t, flags...)
		if len(graph) < 5 {
			t.Fatalf("go list %v found %d packages: the graph cannot be whole", flags, len(graph))
		}
		for _, fault := range violations(graph) {
			t.Errorf("go list %v: %s", flags, fault)
		}
	}
}

// TestViolations forges graphs that break each rule once.
func TestViolations(t *testing.T) {
	tests := []struct {
		name string
		node node
		want string // part of the only fault; empty for none
	}{
		{"down", node{"sawbill/nest1d", []string{"context", "sawbill/solver/embedded"}, nil}, ""},
		{"foreign", node{"example.org/other", []string{"C", "sawbill/cmd/sawbill"}, nil}, ""},
		{"C where it may be", node{"sawbill/solver/glpk", []string{"C", "sawbill/solver"}, nil}, ""},
		{"report to its part", node{"sawbill/internal/report", []string{"sawbill/internal/report/pdf"}, nil}, ""},
		{"command to all", node{"sawbill/cmd/sawbill", []string{"sawbill/internal/report/pdf", "sawbill/nest2d"}, nil}, ""},
		{"up", node{"sawbill/solver", []string{"sawbill/nest1d"}, nil}, "solver imports nest1d"},
		{"sideways", node{"sawbill/nest1d", []string{"sawbill/nest2d"}, nil}, "nest1d imports nest2d"},
		{"engine to the inside", node{"sawbill/nest2d", []string{"sawbill/internal/length"}, nil}, "nest2d imports internal/length"},
		{"report part to an engine", node{"sawbill/internal/report/pdf", []string{"sawbill/nest1d"}, nil}, "internal/report/pdf imports nest1d"},
		{"sibling of the same beginning", node{"sawbill/nest1d", []string{"sawbill/solverplus"}, nil}, "nest1d imports solverplus"},
		{"unknown", node{"sawbill/internal/novelty", nil, nil}, "add it to the table"},
		{"root", node{"sawbill", nil, nil}, "add it to the table"},
		{"C elsewhere", node{"sawbill/solver/embedded", []string{"C"}, nil}, `imports "C"`},
		{"report to an engine's geometry", node{"sawbill/internal/report", nil, []string{"sawbill/nest2d/geom"}}, ""},
		{"report to an engine beside it", node{"sawbill/internal/report", nil, []string{"sawbill/nest2d/geometry"}}, "reaches the engine nest2d/geometry"},
		{"geometry up", node{"sawbill/nest2d/geom", []string{"sawbill/nest2d"}, nil}, "nest2d/geom imports nest2d"},
		{"check by a detour", node{"sawbill/internal/plan/check", []string{"sawbill/internal/plan"}, []string{"sawbill/internal/plan", "sawbill/solver/embedded"}}, "reaches the engine solver/embedded"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			faults := violations([]node{test.node})
			if test.want == "" {
				if len(faults) > 0 {
					t.Errorf("faults where there are none: %q", faults)
				}
				return
			}
			if len(faults) != 1 || !strings.Contains(faults[0], test.want) {
				t.Errorf("faults %q, want one that says %q", faults, test.want)
			}
		})
	}
}

// TestBuildsWithoutC builds the command as it is released.
func TestBuildsWithoutC(t *testing.T) {
	watch(t)
	if _, err := gocmd([]string{"build", "-o", os.DevNull, "./cmd/sawbill"}, "CGO_ENABLED=0"); err != nil {
		t.Error(err)
	}
}
