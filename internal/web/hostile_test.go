package web

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"sawbill/internal/plan"
)

// TestUploads: a gigabyte is refused, whether it says so before or not, and
// nothing of it is kept.
func TestUploads(t *testing.T) {
	s := open(t, Program{New: func(string, string) error { return errors.New("asked for nothing") }})
	const gigabyte = 1 << 30
	for _, told := range []bool{true, false} {
		read, write := io.Pipe()
		m := multipart.NewWriter(write)
		var sent atomic.Int64
		go func() {
			_ = m.WriteField("token", s.token)
			f, err := m.CreateFormFile("list", "frame.csv")
			block := make([]byte, 1<<20)
			for err == nil && sent.Load() < gigabyte {
				_, err = f.Write(block)
				sent.Add(int64(len(block)))
			}
			_ = m.Close()
			_ = write.Close()
		}()
		r, err := http.NewRequest("POST", s.URL+"/new", read)
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", m.FormDataContentType())
		if told {
			r.ContentLength = gigabyte
		}
		a, err := s.Client().Do(r)
		if err == nil {
			a.Body.Close()
			if a.StatusCode != http.StatusRequestEntityTooLarge {
				t.Errorf("told %v: %d", told, a.StatusCode)
			}
		} // or the connection was closed on us
		_ = read.Close()
		if n := sent.Load(); n > 4*largestBody {
			t.Errorf("told %v: %d MB were taken", told, n>>20)
		}
	}
	if entries, err := os.ReadDir(s.dir); err != nil || len(entries) != 1 {
		t.Errorf("something was kept: %v %v", entries, err)
	}
}

// TestSlowBody: who sends a form a byte at a time is not waited for.
func TestSlowBody(t *testing.T) {
	s := open(t, Program{}, func(v *Server) { v.slowest = 300 * time.Millisecond })
	c, err := net.Dial("tcp", s.Listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	fmt.Fprintf(c, "POST /job/undo HTTP/1.1\r\nHost: %s\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 1000\r\n\r\ntoken=", s.Listener.Addr())
	ended := make(chan error, 1)
	begun := time.Now()
	go func() {
		for {
			if _, err := c.Write([]byte("x")); err != nil {
				return
			}
			time.Sleep(50 * time.Millisecond)
		}
	}()
	go func() {
		line, err := bufio.NewReader(c).ReadString('\n')
		if err == nil && !strings.Contains(line, " 400 ") {
			err = errors.New(line)
		} else {
			err = nil
		}
		ended <- err
	}()
	select {
	case err := <-ended:
		if err != nil {
			t.Error(err)
		}
		if took := time.Since(begun); took > 10*time.Second {
			t.Errorf("it took %v", took)
		}
	case <-time.After(20 * time.Second):
		t.Error("it is still waited for")
	}
}

// TestStreams: fifty look on at one search; each hears of it to its end, in memory
// that does not grow with what is told; and none keeps the program from ending.
func TestStreams(t *testing.T) {
	const clients, reports = 50, 20_000
	watched := make(chan struct{})
	s := open(t, Program{Plan: func(_ context.Context, _ string, progress func(Progress)) (*plan.Plan, error) {
		<-watched
		for i := range reports {
			progress(Progress{Material: fmt.Sprint("tube ", i%20), Value: plan.Money(200_000 - i), Bound: plan.Money(100_000 + i), Found: true})
			if i%200 == 0 {
				time.Sleep(10 * time.Millisecond)
			}
		}
		return nil, errors.New("that was all")
	}})
	if status, _ := s.post("/plan/start", "f", "a/job.toml"); status != http.StatusOK {
		t.Fatal(status)
	}
	memory := func() int64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return int64(m.HeapAlloc)
	}
	before := memory()
	var all, first sync.WaitGroup
	for range clients {
		all.Add(1)
		first.Add(1)
		go func() {
			defer all.Done()
			told, done := 0, false
			a, err := s.Client().Get(s.URL + "/events?k=plan&f=a/job.toml")
			if err != nil {
				first.Done()
				t.Error(err)
				return
			}
			defer a.Body.Close()
			lines := bufio.NewScanner(a.Body)
			for lines.Scan() {
				switch lines.Text() {
				case "event: progress":
					if told++; told == 1 {
						first.Done()
					}
				case "event: done":
					done = true
				}
			}
			if told < 3 || !done {
				t.Errorf("a client was told %d times, to the end: %v", told, done)
			}
		}()
	}
	first.Wait()
	close(watched)
	time.Sleep(300 * time.Millisecond)
	if grown := memory() - before; grown > 64<<20 {
		t.Errorf("%d MB are held for %d clients", grown>>20, clients)
	}
	all.Wait()
	if _, page := s.get("/plan?f=a/job.toml"); !strings.Contains(page, "That was all.") {
		t.Error(page)
	}
}

// TestEnd: the end of the program ends a search, whose plan is still written, and
// all who look on.
func TestEnd(t *testing.T) {
	var server *Server
	stopped := errors.New("stopped by hand")
	written := make(chan struct{})
	s := open(t, Program{Stopped: stopped, Plan: func(ctx context.Context, path string, progress func(Progress)) (*plan.Plan, error) {
		progress(Progress{Material: "tube", Value: 2, Bound: 1, Found: true})
		<-ctx.Done()
		if context.Cause(ctx) != stopped {
			t.Error("stopped by", context.Cause(ctx))
		}
		time.Sleep(200 * time.Millisecond)
		close(written)
		return nil, os.WriteFile(filepath.Join(filepath.Dir(path), "written"), nil, 0o644)
	}}, func(v *Server) { server = v })
	if status, _ := s.post("/plan/start", "f", "a/job.toml"); status != http.StatusOK {
		t.Fatal(status)
	}
	var all sync.WaitGroup
	for range 50 {
		all.Go(func() {
			a, err := s.Client().Get(s.URL + "/events?k=plan&f=a/job.toml")
			if err != nil {
				t.Error(err)
				return
			}
			defer a.Body.Close()
			if text, err := io.ReadAll(a.Body); err != nil || !strings.Contains(string(text), "event: done") {
				t.Errorf("%v %s", err, text)
			}
		})
	}
	time.Sleep(100 * time.Millisecond)
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	server.Stop(ctx)
	select {
	case <-written:
	default:
		t.Error("the plan was not waited for")
	}
	all.Wait()
	if err := s.Config.Shutdown(ctx); err != nil {
		t.Error(err)
	}
	s.file("a/written")
}
