package dxf

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"sawbill/nest2d/geom"
)

// dxf-parser, of npm, is a second reader that is not ours: it finds every
// vertex, bulge and hole where it was written.
func TestDxfParserReadsWhatIsWritten(t *testing.T) {
	path := os.Getenv("NODE_PATH")
	if exec.Command("node", "-e", "require('dxf-parser')").Run() != nil {
		t.Skipf("NOT READ BY dxf-parser: node does not find it, NODE_PATH being %q; npm install --global dxf-parser, and set NODE_PATH to what npm root --global says", path)
	}
	r := rand.New(rand.NewPCG(5, 5))
	shapes := []geom.Shape{skin()}
	for range 40 {
		shapes = append(shapes, panel(r, 400*mm))
	}
	folder := t.TempDir()
	var names strings.Builder
	manner := func(i int) Options {
		return Options{Inches: i&1 != 0, R12: i&2 != 0, InsideOutside: i&4 != 0}
	}
	for i, s := range shapes {
		name := filepath.Join(folder, fmt.Sprintf("%d.dxf", i))
		if err := os.WriteFile(name, written(t, s, manner(i)), 0o600); err != nil {
			t.Fatal(err)
		}
		fmt.Fprintln(&names, name)
	}
	script, err := os.ReadFile("testdata/second.js")
	if err != nil {
		t.Fatal(err)
	}
	// As text, so that modules are looked for as they were above.
	cmd := exec.Command("node", "-e", string(script))
	var errs bytes.Buffer
	cmd.Stdin, cmd.Stderr = strings.NewReader(names.String()), &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, errs.String())
	}
	answers := bufio.NewScanner(bytes.NewReader(out))
	answers.Buffer(nil, 1<<20)
	for i := range shapes {
		var got struct {
			Version        string
			Unit           int
			Layers, Blocks []string
			Entities       []struct {
				Kind, Layer string
				Closed      bool
				Vertices    [][3]float64
				Centre      [2]float64
				Radius      float64
			}
		}
		if !answers.Scan() {
			t.Fatalf("%d answers to %d drawings", i, len(shapes))
		}
		if err := json.Unmarshal(answers.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		s, o := shapes[i].Normal(), manner(i)
		size, unit, version, polyline := float64(millimetre), 4, "AC1015", "LWPOLYLINE"
		if o.Inches {
			size, unit = inch, 1
		}
		if o.R12 {
			unit, version, polyline = 0, "AC1009", "POLYLINE"
		}
		if got.Version != version || got.Unit != unit || len(got.Entities) != s.Pierces() {
			t.Errorf("drawing %d: version %s, unit %d, %d entities; want %s, %d, %d", i, got.Version, got.Unit, len(got.Entities), version, unit, s.Pierces())
			continue
		}
		at := func(x, y float64) geom.Point {
			return geom.Point{X: int64(math.Round(x * size)), Y: int64(math.Round(y * size))}
		}
		for k, e := range got.Entities {
			layer := LayerCut
			if o.InsideOutside {
				layer = LayerInside
				if k == 0 {
					layer = LayerOutside
				}
			}
			if e.Layer != layer {
				t.Errorf("drawing %d: entity %d on the layer %s, want %s", i, k, e.Layer, layer)
			}
			if k > len(s.Inner) {
				h := s.Holes[k-1-len(s.Inner)]
				if e.Kind != "CIRCLE" || at(e.Centre[0], e.Centre[1]) != h.Center || int64(math.Round(2*e.Radius*size)) != h.Diameter {
					t.Errorf("drawing %d: %v, want the hole %v", i, e, h)
				}
				continue
			}
			line := s.Outer
			if k > 0 {
				line = s.Inner[k-1]
			}
			var found geom.Outline
			for _, v := range e.Vertices {
				found = append(found, geom.Vertex{Point: at(v[0], v[1]), Bulge: v[2]})
			}
			if e.Kind != polyline || !e.Closed || !found.Equal(line) {
				t.Errorf("drawing %d: %s, closed %v, %v; want %v", i, e.Kind, e.Closed, found, line)
			}
		}
	}
}
