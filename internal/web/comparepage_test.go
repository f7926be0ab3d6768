package web

import (
	"net/http"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/plan/compare"
	"sawbill/internal/report/screen"
)

// TestTake: an option is taken by setting rows aside, in all files at once; not
// when the job was changed meanwhile; and all of it can be taken back.
func TestTake(t *testing.T) {
	var digest string // of the job that was compared
	two := strings.Replace(jobText, "Curlew, tube, 2500, 11\n", "Curlew, tube, 2500, 11\nCurlew, tube, 6000, 24\nAvocet, tube, 4000, 17\n", 1)
	s := open(t, Program{Options: func(path string, j *job.Job) (*Options, error) {
		o := &Options{Stale: digest != j.Digest, Paper: screen.Paper{Blocks: []screen.Block{{Kind: screen.Table, Columns: []screen.Column{{Head: "option"}},
			Rows: []screen.Row{{Cells: []screen.Cell{{Text: "tube: 2500"}}}}}}}}
		o.Choices = []Choice{{Name: "tube: 2500", Without: rowsOfOffers(j)[1:]}, {Name: "thin", Refused: "A variant."}, {Name: "all", Without: rowsOfOffers(j)}}
		return o, nil
	}})
	write(t, filepath.Join(s.dir, "a", "job.toml"), two)
	d := job.Open(filepath.Join(s.dir, "a", "job.toml"))
	if d.Job == nil {
		t.Fatal(d.Faults)
	}
	if _, page := s.get("/compare?f=a/job.toml"); !strings.Contains(page, "has changed since its options were compared") {
		t.Error(page)
	}
	take := func(option, digest string) (int, string) {
		return s.post("/compare/take", "f", "a/job.toml", "option", option, "digest", digest)
	}
	if status, page := take("tube: 2500", d.Job.Digest); status != http.StatusConflict || !strings.Contains(page, "another state") {
		t.Errorf("%d\n%s", status, page)
	}
	digest = d.Job.Digest
	_, page := s.get("/compare?f=a/job.toml")
	if !strings.Contains(page, `<a href="#take-0">tube: 2500</a>`) || !strings.Contains(page, "A variant.") ||
		!regexp.MustCompile(`a/job.toml, line 21</b> Curlew, tube, 6000, 24`).MatchString(page) {
		t.Error(page)
	}
	for option, want := range map[string]string{"thin": "not one to be taken", "none": "not one to be taken", "all": "Nothing would remain in the table of offers"} {
		if status, page := take(option, digest); status != http.StatusConflict || !strings.Contains(page, want) {
			t.Errorf("%s: %d\n%s", option, status, page)
		}
	}
	if status, page := take("tube: 2500", "x"); status != http.StatusConflict || !strings.Contains(page, "changed elsewhere meanwhile") || s.file("a/job.toml") != two {
		t.Errorf("%d\n%s", status, page)
	}
	if status, page := take("tube: 2500", digest); status != http.StatusOK {
		t.Fatalf("%d\n%s", status, page)
	}
	want := strings.Replace(two, "Curlew, tube, 6000", "# Curlew, tube, 6000", 1)
	want = strings.Replace(want, "Avocet, tube", "# Avocet, tube", 1)
	if got := s.file("a/job.toml"); got != want {
		t.Errorf("written:\n%s", got)
	}
	if status, _ := s.post("/job/undo", "f", "a/job.toml"); status != http.StatusOK || s.file("a/job.toml") != two {
		t.Errorf("%d\n%s", status, s.file("a/job.toml"))
	}
}

// TestTakeVariant: a variant is taken in the job file and in the table beside it,
// both or none, and taken back at once.
func TestTakeVariant(t *testing.T) {
	s := open(t, Program{Options: func(path string, j *job.Job) (*Options, error) {
		c := Choice{Name: "stout"}
		taking, err := compare.Take(j, "stout")
		if err == nil {
			c.Without, c.Variant, c.For = taking.Without, taking.Variant, taking.For
		}
		return &Options{Choices: []Choice{c}}, err
	}})
	text := jobText[:strings.Index(jobText, "offers =")] + "offers = \"offers.csv\"\n\n[variant.stout.material.tube]\nstock = \"SHS 30x30x3\" # twice as stiff\nkeep-over = 300\n"
	offers := "supplier,material,size,price\nCurlew,tube,2500,11\nCurlew,stout.tube,2500,17\n"
	path := filepath.Join(s.dir, "a", "job.toml")
	write(t, path, text)
	write(t, filepath.Join(s.dir, "a", "offers.csv"), offers)
	d := job.Open(path)
	if d.Job == nil {
		t.Fatal(d.Faults)
	}
	if _, page := s.get("/compare?f=a/job.toml"); !strings.Contains(page, "Curlew, stout.tube, 2500, 17: for tube") || !strings.Contains(page, "The keys of the variant") {
		t.Error(page)
	}
	if status, page := s.post("/compare/take", "f", "a/job.toml", "option", "stout", "digest", d.Job.Digest); status != http.StatusOK {
		t.Fatalf("%d\n%s", status, page)
	}
	if got, want := s.file("a/offers.csv"), "supplier,material,size,price\n# Curlew,tube,2500,11\nCurlew,tube,2500,17\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	want := strings.Replace(text, "stock = \"SHS 25x25x2\"\n", "# stock = \"SHS 25x25x2\"\nstock = \"SHS 30x30x3\" # twice as stiff\n", 1)
	want = strings.Replace(want, "[material.tube]\n", "[material.tube]\nkeep-over = 300\n", 1)
	want = strings.Replace(want, "[variant.stout.material.tube]\nstock = \"SHS 30x30x3\" # twice as stiff\nkeep-over = 300\n", "# [variant.stout.material.tube]\n# stock = \"SHS 30x30x3\" # twice as stiff\n# keep-over = 300\n", 1)
	if got := s.file("a/job.toml"); got != want {
		t.Errorf("written:\n%s\nwant:\n%s", got, want)
	}
	if d := job.Open(path); d.Job == nil {
		t.Error(d.Faults)
	}
	if status, _ := s.post("/job/undo", "f", "a/job.toml"); status != http.StatusOK || s.file("a/job.toml") != text || s.file("a/offers.csv") != offers {
		t.Errorf("%d\n%s%s", status, s.file("a/job.toml"), s.file("a/offers.csv"))
	}
}

func rowsOfOffers(j *job.Job) []job.Pos {
	var rows []job.Pos
	for _, o := range j.Offers {
		rows = append(rows, o.Pos)
	}
	return rows
}
