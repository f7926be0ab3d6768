package qr

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// zbarimg, which is not ours, reads every text back, in whatever script it is.
func TestReadBack(t *testing.T) {
	zbar, err := exec.LookPath("zbarimg")
	if err != nil {
		t.Skip("SKIPPED: zbarimg is not installed, codes are not read back")
	}
	for _, text := range []string{
		"P1/2\nBird hide\n3f2a90c1", "Ä1/2\nVogelhütte\n3f2a90c1", "R3/1\nŁódź, Ωμέγα, 6½″\n77", "竹1/1\n野鳥観察小屋\n0", "0123456789",
		strings.Repeat("wetland reserve ", 40),
	} {
		c, err := Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "code.png")
		draw(t, c, file)
		out, err := exec.Command(zbar, "--nodbus", "-q", "-Sdisable", "-Sqrcode.enable", "--raw", file).Output()
		if err != nil {
			t.Fatalf("%q: no code is read: %v", text, err)
		}
		if got := strings.TrimSuffix(string(out), "\n"); got != text {
			t.Errorf("%q is read as %q", text, got)
		}
	}
}

func draw(t *testing.T, c Code, file string) {
	const cell = 6
	side := (c.Side + 2*Quiet) * cell
	m := image.NewGray(image.Rect(0, 0, side, side))
	for y := range side {
		for x := range side {
			i, j := x/cell-Quiet, y/cell-Quiet
			dark := i >= 0 && j >= 0 && i < c.Side && j < c.Side && c.Dark[j*c.Side+i]
			if !dark {
				m.SetGray(x, y, color.Gray{Y: 255})
			}
		}
	}
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, m); err != nil {
		t.Fatal(err)
	}
}

func TestTooLong(t *testing.T) {
	if _, err := Encode(strings.Repeat("x", 3000)); err == nil {
		t.Error("3,000 bytes are made a code of")
	}
}
