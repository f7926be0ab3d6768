package web

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/plan/planner"
	"sawbill/internal/report"
)

// thousand is a folder with a job of a thousand pieces, planned, and its server.
func thousand(b *testing.B) (http.Handler, *Server) {
	b.Helper()
	dir := b.TempDir()
	var list strings.Builder
	list.WriteString("mark,material,length,quantity\n")
	for i := range 1000 {
		fmt.Fprintf(&list, "R%d,tube,%d,1\n", i+1, 300+i*7919%1900)
	}
	path := filepath.Join(dir, "job.toml")
	put := func(path string, data []byte) {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			b.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o644); err != nil {
			b.Fatal(err)
		}
	}
	put(path, []byte(strings.Replace(jobText, "2500, 11", "6000, 24.40", 1)))
	put(filepath.Join(dir, "pieces.csv"), []byte(list.String()))
	j, err := job.Read(path)
	if err != nil {
		b.Fatal(err)
	}
	p, err := planner.Make(context.Background(), j, planner.Options{Effort: planner.Quick, Seed: 1})
	if err != nil {
		b.Fatal(err)
	}
	data, err := p.Encode()
	if err != nil {
		b.Fatal(err)
	}
	put(filepath.Join(dir, "pack", "plan.json"), data)
	papers, _, err := report.Pack(p, j)
	if err != nil {
		b.Fatal(err)
	}
	for _, f := range papers {
		put(filepath.Join(dir, "pack", filepath.FromSlash(f.Path)), f.Data)
	}
	s, err := New(dir, Program{Papers: report.Screen, Drawings: report.Drawings}, func() {})
	if err != nil {
		b.Fatal(err)
	}
	return s.Handler("sawbill"), s
}

// BenchmarkPages is the server's time for a page, and what weight it has with all
// that it needs, without drawings.
func BenchmarkPages(b *testing.B) {
	h, _ := thousand(b)
	get := func(path string) int {
		r := httptest.NewRequest("GET", path, nil)
		r.Host = "sawbill"
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			b.Fatal(path, w.Code, w.Body)
		}
		n, _ := io.Copy(io.Discard, w.Body)
		return int(n)
	}
	for _, p := range []struct{ name, path string }{
		{"first", "/"}, {"tables", "/job?f=job.toml"}, {"plan", "/plan?f=job.toml"}, {"saw", "/saw?f=job.toml"}, {"cutlist", "/paper?f=job.toml&n=workshop/cutlist.pdf"},
	} {
		b.Run(p.name, func(b *testing.B) {
			weight := 0
			for b.Loop() {
				weight = get(p.path)
			}
			b.ReportMetric(float64(weight+get("/assets/style.css")+get("/assets/page.js"))/1000, "kB/page")
		})
	}
}
