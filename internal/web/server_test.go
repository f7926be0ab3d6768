package web

import (
	"bytes"
	"context"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sawbill/internal/plan"
)

const jobText = `# kept as it is
[job]
name = "hide"
unit = "mm"
currency = "EUR"
[material.tube]
stock = "SHS 25x25x2"
alloy = "6063-T6"
process = "saw"
[process.saw]
kind = "saw"
kerf = 3
[supplier.Curlew]
delivery = 20
[tables]
pieces = "pieces.csv"
offers = '''
supplier, material, size, price
# last month's
Curlew, tube, 2500, 11
'''
`

const piecesText = "mark,material,length,quantity\r\n# two rows\r\nR1,tube,1200,4\r\nR2,\"tube\",700,2\r\n"

// site is a server for a folder with one job.
type site struct {
	*testing.T
	dir string
	*httptest.Server
	token string
}

func open(t *testing.T, program Program, before ...func(*Server)) *site {
	dir := t.TempDir()
	for name, text := range map[string]string{"a/job.toml": jobText, "a/pieces.csv": piecesText} {
		write(t, filepath.Join(dir, filepath.FromSlash(name)), text)
	}
	server := httptest.NewUnstartedServer(nil)
	s, err := New(dir, program, func() {})
	if err != nil {
		t.Fatal(err)
	}
	for _, do := range before {
		do(s)
	}
	server.Config.Handler = s.Handler(server.Listener.Addr().String())
	server.Start()
	t.Cleanup(server.Close)
	return &site{t, s.dir, server, s.token}
}

func write(t *testing.T, path, text string) {
	t.Helper()
	err := os.MkdirAll(filepath.Dir(path), 0o755)
	if err == nil {
		err = os.WriteFile(path, []byte(text), 0o640)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func (s *site) get(path string) (int, string) {
	s.Helper()
	a, err := s.Client().Get(s.URL + path)
	if err != nil {
		s.Fatal(err)
	}
	defer a.Body.Close()
	text, err := io.ReadAll(a.Body)
	if err != nil {
		s.Fatal(err)
	}
	return a.StatusCode, string(text)
}

func (s *site) post(path string, fields ...string) (int, string) {
	s.Helper()
	form := url.Values{"token": {s.token}}
	for i := 0; i < len(fields); i += 2 {
		form.Set(fields[i], fields[i+1])
	}
	a, err := s.Client().PostForm(s.URL+path, form)
	if err != nil {
		s.Fatal(err)
	}
	defer a.Body.Close()
	text, _ := io.ReadAll(a.Body)
	return a.StatusCode, string(text)
}

func (s *site) file(name string) string {
	s.Helper()
	data, err := os.ReadFile(filepath.Join(s.dir, filepath.FromSlash(name)))
	if err != nil {
		s.Fatal(err)
	}
	return string(data)
}

// version is that of a table on the job's page.
func (s *site) version(table string) string {
	s.Helper()
	_, page := s.get("/job?f=a/job.toml")
	m := regexp.MustCompile(`data-table="` + table + `" data-version="([0-9a-f]+)"`).FindStringSubmatch(page)
	if m == nil {
		s.Fatalf("the page shows no table of %s:\n%s", table, page)
	}
	return m[1]
}

// TestHostile: what a page elsewhere could have sent here is refused.
func TestHostile(t *testing.T) {
	s := open(t, Program{})
	send := func(name string, want int, change func(r *http.Request)) {
		t.Helper()
		r, err := http.NewRequest("POST", s.URL+"/job/undo", strings.NewReader(url.Values{"f": {"a/job.toml"}, "token": {s.token}}.Encode()))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		change(r)
		a, err := s.Client().Do(r)
		if err != nil {
			if want == 0 {
				return
			}
			t.Fatal(name, err)
		}
		defer a.Body.Close()
		if a.StatusCode != want {
			t.Errorf("%s: %d, want %d", name, a.StatusCode, want)
		}
		if a.Header.Get("Content-Security-Policy") == "" || a.Header.Get("X-Content-Type-Options") != "nosniff" || a.Header.Get("X-Frame-Options") != "DENY" {
			t.Errorf("%s: headers %v", name, a.Header)
		}
	}
	send("as it should be", http.StatusConflict, func(*http.Request) {}) // nothing to take back
	send("another host", http.StatusForbidden, func(r *http.Request) { r.Host = "sawbill.example" })
	send("another port", http.StatusForbidden, func(r *http.Request) { r.Host = "127.0.0.1:1" })
	send("another origin", http.StatusForbidden, func(r *http.Request) { r.Header.Set("Origin", "http://sawbill.example") })
	send("from another site", http.StatusForbidden, func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") })
	send("without a token", http.StatusForbidden, func(r *http.Request) {
		r.Body, r.ContentLength = io.NopCloser(strings.NewReader("f=a/job.toml")), 12
	})
	send("too large", http.StatusRequestEntityTooLarge, func(r *http.Request) {
		r.Body, r.ContentLength = io.NopCloser(io.LimitReader(zeros{}, largestBody+1)), largestBody+1
	})
	send("not by GET", http.StatusMethodNotAllowed, func(r *http.Request) { r.Method, r.Body, r.ContentLength = "GET", nil, 0 })
}

type zeros struct{}

func (zeros) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = '0'
	}
	return len(b), nil
}

// TestOutside: nothing outside the folder is shown.
func TestOutside(t *testing.T) {
	s := open(t, Program{})
	outside := filepath.Join(t.TempDir(), "job.toml")
	secret := strings.Replace(jobText, "pieces.csv", "secret.csv", 1)
	for path, text := range map[string]string{outside: secret, filepath.Join(filepath.Dir(outside), "secret.csv"): "mark,material,length\nSECRET,tube,1\n",
		filepath.Join(s.dir, "a", "up.toml"): strings.Replace(jobText, "pieces.csv", filepath.ToSlash(filepath.Join(filepath.Dir(outside), "secret.csv")), 1)} {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	link := filepath.Join(s.dir, "a", "link.toml")
	if err := os.Symlink(outside, link); err != nil {
		t.Skip("LEFT OUT: no symbolic links here:", err)
	}
	for _, f := range []string{"../" + filepath.Base(filepath.Dir(outside)) + "/job.toml", outside, "a/link.toml", "a/up.toml", "a/../../x.toml", "", "a/pieces.csv", "a\x00.toml"} {
		for _, page := range []string{"/job", "/plan", "/saw", "/pack.zip"} {
			status, text := s.get(page + "?f=" + query(f))
			if status < 400 || strings.Contains(text, "SECRET") {
				t.Errorf("%s of %q: %d\n%s", page, f, status, text)
			}
		}
		if status, _ := s.post("/job/text", "f", f, "text", "x", "version", ""); status < 400 {
			t.Errorf("%q was written: %d", f, status)
		}
	}
	pack := filepath.Join(s.dir, "a", "pack")
	if err := os.Mkdir(pack, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(pack, "job.txt")); err != nil {
		t.Fatal(err)
	}
	for _, p := range []string{"../job.toml", "job.txt", "/etc/hostname", "."} {
		if status, _ := s.get("/file?f=a/job.toml&p=" + query(p)); status != http.StatusNotFound {
			t.Errorf("file %q: %d", p, status)
		}
	}
}

// TestCells: a cell is written where it stands, everything else stays; faults
// stand beside the cell in the words of the command line.
func TestCells(t *testing.T) {
	s := open(t, Program{})
	first := s.version("pieces")
	status, page := s.post("/job/cells", "f", "a/job.toml", "table", "pieces", "version", first, "cells", `[[0,2,"1250"]]`)
	if status != http.StatusOK || !strings.Contains(page, "Saved in a/pieces.csv.") {
		t.Fatalf("%d\n%s", status, page)
	}
	if got, want := s.file("a/pieces.csv"), strings.Replace(piecesText, "1200", "1250", 1); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	// Somebody else had the page open.
	status, page = s.post("/job/cells", "f", "a/job.toml", "table", "pieces", "version", first, "cells", `[[0,2,"1300"]]`)
	if status != http.StatusConflict || !strings.Contains(page, "changed elsewhere meanwhile") || !strings.Contains(page, "length of row 1, which is &#34;1250&#34;, to be &#34;1300&#34;") || strings.Contains(s.file("a/pieces.csv"), "1300") {
		t.Errorf("%d\n%s", status, page)
	}
	// The job file: what was written in vain is shown.
	status, page = s.post("/job/text", "f", "a/job.toml", "version", "0", "text", "# mine & only mine")
	if status != http.StatusConflict || !strings.Contains(page, "# mine &amp; only mine") || s.file("a/job.toml") != jobText {
		t.Errorf("%d\n%s", status, page)
	}
	// A fault beside its cell.
	status, page = s.post("/job/cells", "f", "a/job.toml", "table", "pieces", "version", s.version("pieces"), "cells", `[[1,2,"7oo"]]`)
	if status != http.StatusOK || !regexp.MustCompile(`value="7oo"[^>]*aria-invalid="true"[^<]*<span class="why">[^<]*7oo`).MatchString(page) || !strings.Contains(page, "a/pieces.csv:4:11") {
		t.Errorf("%d\n%s", status, page)
	}
	// A table inside the job file, with rows pasted below.
	status, _ = s.post("/job/cells", "f", "a/job.toml", "table", "offers", "version", s.version("offers"), "cells", `[[1,0,"Curlew"],[1,1,"tube"],[1,2,"4000"],[1,3,"17, or so"]]`)
	if want := strings.Replace(jobText, "2500, 11\n", "2500, 11\nCurlew,tube,4000,\"17, or so\"\n", 1); status != http.StatusOK || s.file("a/job.toml") != want {
		t.Errorf("%d\n%s", status, s.file("a/job.toml"))
	}
	// All of it taken back, and no more than that.
	for range 3 {
		if status, page := s.post("/job/undo", "f", "a/job.toml"); status != http.StatusOK {
			t.Errorf("%d\n%s", status, page)
		}
	}
	if s.file("a/pieces.csv") != piecesText || s.file("a/job.toml") != jobText {
		t.Error("not as it was", s.file("a/pieces.csv"), s.file("a/job.toml"))
	}
	if status, _ := s.post("/job/undo", "f", "a/job.toml"); status != http.StatusConflict {
		t.Error(status)
	}
	// A row taken out with its line.
	if status, _ := s.post("/job/cells", "f", "a/job.toml", "table", "pieces", "version", s.version("pieces"), "cells", `[]`, "drop", "0"); status != http.StatusOK || s.file("a/pieces.csv") != strings.Replace(piecesText, "R1,tube,1200,4\r\n", "", 1) {
		t.Errorf("%d %q", status, s.file("a/pieces.csv"))
	}
	for _, cells := range []string{`[[9999999,0,"x"]]`, `[[0,99,"x"]]`, `[[-1,0,"x"]]`, `x`, `[["a",0,"x"]]`} {
		if status, _ := s.post("/job/cells", "f", "a/job.toml", "table", "pieces", "version", s.version("pieces"), "cells", cells); status < 400 {
			t.Errorf("%s: %d", cells, status)
		}
	}
	if info, err := os.Stat(filepath.Join(s.dir, "a", "pieces.csv")); err != nil || info.Mode().Perm() != 0o640 {
		t.Error("the file has other permissions", info.Mode(), err)
	}
}

// TestRun: a search is watched as it goes, and stopped.
func TestRun(t *testing.T) {
	begun := make(chan struct{})
	s := open(t, Program{Plan: func(ctx context.Context, path string, progress func(Progress)) (*plan.Plan, error) {
		progress(Progress{Material: "tube", Value: 1234, Bound: 1200, Found: true})
		close(begun)
		<-ctx.Done()
		return nil, errors.New("no plan was found")
	}})
	if status, page := s.post("/plan/start", "f", "a/job.toml"); status != http.StatusOK || !strings.Contains(page, "Planning") {
		t.Fatalf("%d\n%s", status, page)
	}
	<-begun
	a, err := s.Client().Get(s.URL + "/events?k=plan&f=a/job.toml")
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	some := make([]byte, 4096)
	n, _ := a.Body.Read(some)
	if got := string(some[:n]); !strings.HasPrefix(got, "event: progress\n") || !strings.Contains(got, "12.34") {
		t.Errorf("%q", got)
	}
	if status, _ := s.post("/plan/start", "f", "a/job.toml"); status != http.StatusOK { // one search at a time
		t.Error(status)
	}
	if status, _ := s.post("/stop", "f", "a/job.toml", "k", "plan"); status != http.StatusOK {
		t.Error(status)
	}
	rest, err := io.ReadAll(a.Body)
	if err != nil || !strings.Contains(string(rest), "event: done\n") {
		t.Errorf("%v %s", err, rest)
	}
	if _, page := s.get("/plan?f=a/job.toml"); !strings.Contains(page, "No plan was found.") {
		t.Error(page)
	}
}

// TestNew: a list dropped on the page becomes a job in a folder of its own.
func TestNew(t *testing.T) {
	s := open(t, Program{New: func(list, folder string) error {
		return os.WriteFile(filepath.Join(folder, "job.toml"), []byte(jobText), 0o644)
	}})
	drop := func(name string) int {
		var b bytes.Buffer
		m := multipart.NewWriter(&b)
		_ = m.WriteField("token", s.token)
		f, _ := m.CreateFormFile("list", name)
		_, _ = io.WriteString(f, piecesText)
		m.Close()
		a, err := s.Client().Post(s.URL+"/new", m.FormDataContentType(), &b)
		if err != nil {
			t.Fatal(err)
		}
		a.Body.Close()
		return a.StatusCode
	}
	if status := drop("frame.csv"); status != http.StatusOK || s.file("frame/frame.csv") != piecesText {
		t.Error(status)
	}
	for _, name := range []string{"frame.csv", "x.exe", "..csv", ".hidden.csv", "..", "con:aux.csv", strings.Repeat("x", 200) + ".csv"} {
		if status := drop(name); status < 400 {
			t.Errorf("%s: %d", name, status)
		}
	}
}
