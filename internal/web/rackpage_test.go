package web

import (
	"context"
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"sawbill/internal/rack"
)

// TestRack: put on, looked for, taken off.
func TestRack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "rack.db")
	s := open(t, Program{Rack: func(ctx context.Context) (Rack, error) { return rack.Open(ctx, path) }})
	add := func(want int, fields ...string) string {
		t.Helper()
		status, page := s.post("/rack/add", fields...)
		if status != want {
			t.Errorf("%v: %d\n%s", fields, status, page)
		}
		return page
	}
	add(http.StatusOK, "material", "SHS 25x25x2 6063-T6", "length", "1.2 m", "place", "bin <3>")
	add(http.StatusOK, "material", "sheet 1.5 5005-H14", "length", "900", "width", "400", "note", "scratched")
	for _, f := range []struct{ material, length, width, says string }{
		{"tube", "900", "", "is not a section with its material"},
		{"SHS 25x25x2 6063-T6", "", "", "Length"},
		{"SHS 25x25x2 6063-T6", "0", "", "no size of a bar or sheet"},
		{"SHS 25x25x2 6063-T6", "900", "400", "A bar has no width"},
		{"sheet 1.5 5005-H14", "900", "", "Width"},
	} {
		page := add(http.StatusUnprocessableEntity, "material", f.material, "length", f.length, "width", f.width, "place", "kept")
		if !strings.Contains(page, f.says) || !strings.Contains(page, `value="kept"`) {
			t.Errorf("%+v:\n%s", f, page)
		}
	}
	_, page := s.get("/rack")
	for _, want := range []string{"SHS 25x25x2 mm, 6063-T6", "1200 mm", "900 × 400 mm", "bin &lt;3&gt;", "2 in all"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q:\n%s", want, page)
		}
	}
	if _, page := s.get("/rack?m=SCRATCHED+sheet"); strings.Contains(page, "1200 mm") || !strings.Contains(page, "900 × 400 mm") || !strings.Contains(page, "1 of 2") {
		t.Error(page)
	}
	if status, page := s.post("/rack/drop", "id", "1"); status != http.StatusOK || strings.Contains(page, "1200 mm") {
		t.Errorf("%d\n%s", status, page)
	}
	for _, path := range []string{"/rack/drop", "/rack/edit", "/rack/release"} {
		if status, page := s.post(path, "id", "1", "m", "sheet"); status != http.StatusConflict || !strings.Contains(page, "1") || !strings.Contains(page, `role="alert"`) || !strings.Contains(page, `value="sheet"`) {
			t.Errorf("%s: %d\n%s", path, status, page)
		}
	}
	if status, page := s.post("/rack/edit", "id", "2", "place", "by the door", "note", "flat"); status != http.StatusOK || !strings.Contains(page, "by the door") || strings.Contains(page, "scratched") {
		t.Errorf("%d\n%s", status, page)
	}
	// Kept for a plan, and free again.
	k, err := rack.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := k.Reserve(t.Context(), rack.Hold{Owner: rack.Owner{Job: "Bird hide"}, Plan: "5a03237b", Date: "2026-11-30"}, []int64{2}, func() error { return nil }); err != nil {
		t.Fatal(err)
	}
	if err := k.Close(); err != nil {
		t.Fatal(err)
	}
	if _, page := s.get("/rack"); !strings.Contains(page, "Bird hide, plan 5a03237b") {
		t.Error(page)
	}
	if status, page := s.post("/rack/release", "id", "2"); status != http.StatusOK || strings.Contains(page, "5a03237b") {
		t.Errorf("%d\n%s", status, page)
	}
	if status, table := s.get("/rack.csv"); status != http.StatusOK || !strings.Contains(table, "by the door") {
		t.Errorf("%d\n%s", status, table)
	}
	if status, _ := s.post("/rack/drop", "id", "one"); status != http.StatusBadRequest {
		t.Error(status)
	}
}
