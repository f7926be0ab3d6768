package typeface

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func face(t testing.TB) *Face {
	t.Helper()
	f, err := New()
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// The digits of DejaVu Sans all advance 1303 of 2048 units (its hmtx table).
func TestWidth(t *testing.T) {
	want := 4 * 1303.0 / 2048 * 10 * 25.4 / 72
	if got := face(t).Width("1200", 10, false); got < want-1e-9 || got > want+1e-9 {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestClean(t *testing.T) {
	for text, want := range map[string]string{
		"P1": "P1", "Łódź ½ ″": "Łódź ½ ″", "e\u0301": "é", "🐦": "‹U+1F426›", "a\tb": "a‹U+0009›b",
		"\xff": "‹U+FFFD›", "\u202e1": "‹U+202E›1", "屋": "‹U+5C4B›",
	} {
		if got, _ := face(t).Clean(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}

func TestFitNeverOverflows(t *testing.T) {
	f := face(t)
	rapid.Check(t, func(t *rapid.T) {
		text, _ := f.Clean(rapid.String().Draw(t, "text"))
		room := rapid.Float64Range(5, 60).Draw(t, "room")
		clipped, size := f.Fit(text, 12, 7, true, room)
		if w := f.Width(clipped, size, true); w > room+1e-9 || size < 7 {
			t.Fatalf("%q at %v is %v wide, room %v", clipped, size, w, room)
		}
		if clipped != text && !strings.HasSuffix(clipped, "…") {
			t.Fatalf("clipped without a sign: %q", clipped)
		}
		for _, line := range f.Wrap(text, 10, false, room) {
			if w := f.Width(line, 10, false); w > room+1e-9 {
				t.Fatalf("line %q is %v wide, room %v", line, w, room)
			}
		}
	})
}

// Wrapping loses nothing but blanks.
func TestWrapKeepsAll(t *testing.T) {
	f := face(t)
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		got := strings.Join(strings.Fields(strings.Join(f.Wrap(text, 10, false, 20), "")), "")
		if want := strings.Join(strings.Fields(text), ""); got != want {
			t.Fatalf("%q, want %q", got, want)
		}
	})
}

// A word too long for a line parts behind its hyphen rather than anywhere.
func TestWrapAtHyphens(t *testing.T) {
	f := face(t)
	got := strings.Join(f.Wrap("vierkantrohr-40x40x3", 10, false, f.Width("vierkantrohr-40x", 10, false)), "|")
	if want := "vierkantrohr-|40x40x3"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// Unicode chart Arabic Presentation Forms-B: seen initial FEB3, qaf medial FED8,
// feh final FED2; and dal (final FEAA) joins nothing after it, so noon stays isolated FEE5.
func TestArrange(t *testing.T) {
	for text, want := range map[string]string{
		"P1": "P1", "سقف": "\uFED2\uFED8\uFEB3", "بدن": "\uFEE5\uFEAA\uFE91", "A سقف": "A \uFED2\uFED8\uFEB3",
		"שלום": "םולש",
	} {
		if got := Arrange(text); got != want {
			t.Errorf("%q becomes %+q, want %+q", text, got, want)
		}
	}
}

// A no-break space keeps words on one line where a line can hold them, and is a space then.
func TestWrapKeepsTogether(t *testing.T) {
	f := face(t)
	wide := f.Width("2 × 27-3/8 A2", 10, false)
	for text, want := range map[string]string{
		"of 2\u00a0×\u00a027-3/8\u00a0A2":        "of|2 × 27-3/8 A2",
		"of 2\u00a0×\u00a027-3/8\u00a0A2\u00a0B": "of 2 × 27-3/8|A2 B",
	} {
		if got := strings.Join(f.Wrap(text, 10, false, wide), "|"); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
