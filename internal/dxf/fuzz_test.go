package dxf

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"sawbill/internal/length"
)

// Whatever is read can be written, and comes back the same; nothing panics.
func FuzzRead(f *testing.F) {
	for _, seed := range seeds(f) {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, data []byte) { survives(t, data) })
}

// seeds are drawings with all that is read.
func seeds(t testing.TB) [][]byte {
	return [][]byte{
		written(t, skin(), Options{}),
		written(t, skin(), Options{R12: true, Inches: true, Engrave: true, Mark: "A"}),
		[]byte(text(line(0, 0, 100, 0) + line(100, 100, 100, 0) + line(100, 100, 0, 100) + line(0, 0, 0, 100.01) + circle(50, 50, 5))),
		[]byte(whole("0 SECTION 2 TABLES 0 TABLE 2 LAYER 70 2 0 LAYER 2 OLD 70 1 62 -3 0 ENDTAB 0 ENDSEC 0 SECTION 2 BLOCKS 0 BLOCK 8 0 2 B 70 0 10 1 20 1 "+
			circle(1, 1, 2)+"0 ARC 8 0 10 7 20 7 40 1 50 10 51 200 0 ARC 8 0 10 7 20 7 40 1 50 200 51 10 0 ENDBLK 0 ENDSEC", square+"0 INSERT 8 CUT 2 B 10 40 20 40 41 2 42 -3 50 33 70 2 71 2 44 25 45 40 ")),
		[]byte(text("0 SPLINE 8 CUT 71 2 40 0 40 0 40 0 40 1 40 1 40 1 41 1 41 2 41 1 10 0 20 0 10 50 20 100 10 100 20 0 " + line(0, 0, 100, 0))),
		[]byte(text("0 ELLIPSE 8 CUT 10 0 20 0 11 100 21 0 40 0.5 41 0 42 3.141592653589793 230 -1 " + line(100, 0, -100, 0) + "0 POLYLINE 8 CUT 66 1 70 1 0 VERTEX 10 0 20 -20 42 1 0 VERTEX 10 5 20 -20 42 1 0 SEQEND ")),
	}
}

// survives tells whether a drawing was read, and what was is consistent.
func survives(t testing.TB, data []byte) bool {
	d, err := Read(bytes.NewReader(data), ReadOptions{Unit: length.Millimetre})
	if err != nil {
		return false
	}
	for _, s := range d.Shapes {
		first := written(t, s, Options{})
		back, err := Read(bytes.NewReader(first), ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if len(back.Shapes) != 1 || !bytes.Equal(first, written(t, back.Shapes[0], Options{})) {
			t.Fatalf("%v comes back as %v", s, back.Shapes)
		}
	}
	return true
}

// The bytes are the same on every machine: trigonometry and curves are of
// basic arithmetic. The sum was found on amd64 and is the same on arm64, where
// products are fused with sums unless that is prevented.
func TestSameEverywhere(t *testing.T) {
	sum := sha256.New()
	for _, seed := range seeds(t) {
		sum.Write(seed)
		d, err := Read(bytes.NewReader(seed), ReadOptions{Unit: length.Millimetre})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range d.Shapes {
			sum.Write(written(t, s, Options{Inches: true}))
		}
	}
	if got, want := fmt.Sprintf("%x", sum.Sum(nil)[:8]), "e39e0e99851aec54"; got != want {
		t.Errorf("the sum is %s, want %s", got, want)
	}
}

// Drawings with a few groups left out, doubled, exchanged or altered are
// refused or read; every one of the seeds is read.
func TestReadSurvives(t *testing.T) {
	values := []string{"", "0", "-1", "1", "3", "7", "16", "360", "1e-9", "1e11", "-0.5", "9999999", "32767", "B", "CUT", "LINE", "ARC", "ENDBLK", "ENDSEC", "INSERT", "SPLINE", "VERTEX", "EOF"}
	r := rand.New(rand.NewPCG(1, 2))
	read := 0
	for i, seed := range seeds(t) {
		if !survives(t, seed) {
			_, err := Read(bytes.NewReader(seed), ReadOptions{Unit: length.Millimetre})
			t.Errorf("seed %d: %v", i, err)
		}
		lines := strings.Split(strings.TrimSpace(strings.ReplaceAll(string(seed), "\r", "")), "\n")
		for range 1500 {
			changed := append([]string(nil), lines...)
			for range 1 + r.IntN(3) {
				at, other := 2*r.IntN(len(changed)/2), 2*r.IntN(len(changed)/2)
				switch r.IntN(6) {
				case 0:
					changed = append(changed[:at], changed[at+2:]...)
				case 1:
					changed = append(changed[:at+2], changed[at:]...)
				case 2:
					changed[at], changed[other] = changed[other], changed[at]
				case 3:
					changed[at+1] = changed[other+1]
				case 4:
					changed[at+1] = values[r.IntN(len(values))]
				case 5:
					if v, err := strconv.ParseFloat(changed[at+1], 64); err == nil {
						changed[at+1] = strconv.FormatFloat(v+[]float64{1e-4, -0.03, 25, v}[r.IntN(4)], 'f', -1, 64)
					}
				}
			}
			if survives(t, []byte(strings.Join(changed, "\n")+"\n")) {
				read++
			}
		}
	}
	if read < 2000 {
		t.Errorf("%d drawings were read: too few to tell", read)
	}
	t.Logf("%d changed drawings were read", read)
}
