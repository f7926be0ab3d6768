package dxf

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"sawbill/internal/length"
)

// Drawings made with ezdxf: contours of every kind in blocks within blocks,
// turned, mirrored, scaled evenly and unevenly. What is read has the area,
// perimeter and bounds that shapely finds for ezdxf's own taking apart.
func TestReadWhatEzdxfMakes(t *testing.T) {
	interpreter := python(t)
	if exec.Command(interpreter, "-c", "import shapely").Run() != nil {
		t.Skip("NOT COMPARED with shapely: the python3 that has ezdxf has none; on Debian install python3-shapely")
	}
	const count = 120
	folder := t.TempDir()
	cmd := exec.Command(interpreter, "-W", "ignore", "testdata/make.py", folder, strconv.Itoa(count))
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, errs.String())
	}
	answers := bufio.NewScanner(bytes.NewReader(out))
	compared := 0
	for i := range count {
		var want struct {
			Area, Length float64
			Box          [4]float64
		}
		if !answers.Scan() {
			t.Fatalf("%d answers to %d drawings", i, count)
		}
		if err := json.Unmarshal(answers.Bytes(), &want); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(filepath.Join(folder, fmt.Sprintf("%d.dxf", i)))
		if err != nil {
			t.Fatal(err)
		}
		if want.Area == 0 {
			continue
		}
		compared++
		for _, tolerance := range []length.Length{length.Micrometre, 20 * length.Micrometre} {
			d, err := Read(bytes.NewReader(data), ReadOptions{Curve: tolerance})
			if err != nil {
				t.Errorf("drawing %d: %v", i, err)
				continue
			}
			if len(d.Shapes) != 1 || d.Shapes[0].Pierces() != 1 {
				t.Errorf("drawing %d: read as %v", i, d.Shapes)
				continue
			}
			s := d.Shapes[0]
			off := tolerance.Millimetres() + 5e-5 // and the chords' own, with their digits
			near := func(what string, got, want, off float64) {
				if !(math.Abs(got-want) <= off) {
					t.Errorf("drawing %d within %v: %s %v, want %v", i, tolerance, what, got, want)
				}
			}
			near("area", s.Area()/(mm*mm), want.Area, off*want.Length)
			near("length", s.CutLength()/mm, want.Length, 3e-5*want.Length)
			b := s.Bounds()
			for k, v := range []int64{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y} {
				near("bound", float64(v)/mm, want.Box[k], off)
			}
		}
	}
	if compared < count*9/10 {
		t.Errorf("only %d of %d drawings were compared", compared, count)
	}
}
