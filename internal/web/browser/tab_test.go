package browser

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// binary is the program, built once; chromium the browser, empty where there is none.
var binary, chromium string

func TestMain(m *testing.M) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			chromium = path
			break
		}
	}
	if chromium == "" {
		os.Exit(m.Run())
	}
	dir, err := os.MkdirTemp("", "sawbill-browser-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	binary = filepath.Join(dir, "sawbill")
	build := exec.Command("go", "build", "-o", binary, "sawbill/cmd/sawbill")
	build.Stderr = os.Stderr
	code := 1
	if err := build.Run(); err != nil {
		fmt.Fprintln(os.Stderr, "the program cannot be built:", err)
	} else {
		code = m.Run()
	}
	_ = os.RemoveAll(dir)
	os.Exit(code)
}

// tab is one page in the browser, of a program that serves a folder of its own.
type tab struct {
	*testing.T
	ctx   context.Context
	dir   string
	url   string
	code  string // where others may ask
	shots string
}

// files are put into the folder that is served.
func visit(t *testing.T, files map[string]string, flags ...string) *tab {
	t.Helper()
	if chromium == "" {
		t.Skip("LEFT OUT: the pages were not tried in a browser (chromium is not installed)")
	}
	dir := t.TempDir()
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	b := &tab{T: t, dir: dir, shots: os.Getenv("SAWBILL_SCREENSHOTS")}
	if b.shots == "" {
		t.Log("LEFT OUT: pictures of the pages (SAWBILL_SCREENSHOTS names no folder for them)")
	} else if err := os.MkdirAll(b.shots, 0o755); err != nil {
		t.Fatal(err)
	}
	b.serve(flags)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.UserDataDir(t.TempDir()), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	allocator, end := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(end)
	ctx, close := chromedp.NewContext(allocator)
	t.Cleanup(close)
	b.ctx = ctx
	b.do(chromedp.EmulateViewport(1100, 800))
	return b
}

// serve starts the program; at the end of the test it is interrupted and must
// end by itself, without a fault.
func (b *tab) serve(flags []string) {
	b.Helper()
	c := exec.Command(binary, append([]string{"serve", b.dir, "--addr", "127.0.0.1:0", "--no-open", "--rack", filepath.Join(b.TempDir(), "rack.db")}, flags...)...)
	out, err := c.StdoutPipe()
	if err == nil {
		err = c.Start()
	}
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		_ = c.Process.Signal(os.Interrupt)
		if err := c.Wait(); err != nil {
			b.Error("the program did not end well:", err)
		}
	})
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if m := regexp.MustCompile(`are at (http://\S+)/;`).FindStringSubmatch(lines.Text()); m != nil {
			b.url = m[1]
		}
		if m := regexp.MustCompile(`enter this code: (.*)`).FindStringSubmatch(lines.Text()); m != nil {
			b.code = m[1]
		}
		if b.url != "" && (b.code != "" || !slices.Contains(flags, "--addr")) {
			go func() {
				for lines.Scan() {
				}
			}()
			return
		}
	}
	b.Fatal("the program did not say where it is")
}

// patience is for one step on a busy machine.
const patience = 60 * time.Second

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	for i, step := range steps {
		if _, err := with(b, step); err != nil {
			b.shot("failed")
			b.Fatalf("step %d: %v\nat %s", i+1, err, read(b, chromedp.Evaluate[string]("location.href + '\\n' + document.body.innerText")))
		}
	}
}

// with runs a step. The first one starts the browser, whose life must not hang
// on the step's time.
func with[T any](b *tab, a chromedp.Action[T]) (T, error) {
	ctx := b.ctx
	if chromedp.FromContext(ctx).Target != nil {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, patience)
		defer cancel()
	}
	return chromedp.Run(ctx, a)
}

func read[T any](b *tab, a chromedp.Action[T]) T {
	b.Helper()
	v, err := with(b, a)
	if err != nil {
		b.Fatal(err)
	}
	return v
}

// open goes to a page below the program's address.
func (b *tab) open(path string) { b.Helper(); b.do(chromedp.Navigate(b.url + path)) }

// until waits for something to become true on the page, through whatever
// other pages come in between.
func (b *tab) until(what, expression string) {
	b.Helper()
	for begun := time.Now(); time.Since(begun) < patience; time.Sleep(50 * time.Millisecond) {
		if ok, err := with(b, chromedp.Evaluate[bool]("document.readyState === 'complete' && !!("+expression+")")); err == nil && ok {
			return
		}
	}
	b.shot("failed")
	b.Fatalf("it did not come about that %s (%s)\nat %s", what, expression, read(b, chromedp.Evaluate[string]("location.href + '\\n' + document.body.innerText")))
}

// says waits until the page says something.
func (b *tab) says(text string) {
	b.Helper()
	b.until("the page says "+text, fmt.Sprintf("document.body.innerText.includes(%q)", text))
}

// write types a text over that of a field, and leaves it.
func (b *tab) write(field, text string) {
	b.Helper()
	b.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf("{ const f = document.querySelector(%q); f.focus(); f.select(); }", field)), chromedp.KeyEvent(text+"\t"))
}

// shot keeps a picture of the whole page.
func (b *tab) shot(name string) {
	if b.shots == "" {
		return
	}
	if data, err := with(b, chromedp.FullScreenshot(100)); err == nil {
		name = strings.ReplaceAll(b.Name(), "/", "-") + "-" + name + ".png"
		_ = os.WriteFile(filepath.Join(b.shots, name), data, 0o644)
	}
}

// file is the content of a file of the folder.
func (b *tab) file(name string) string {
	b.Helper()
	data, err := os.ReadFile(filepath.Join(b.dir, filepath.FromSlash(name)))
	if err != nil {
		b.Fatal(err)
	}
	return string(data)
}

// phone makes the window that of a small phone.
func (b *tab) phone() { b.Helper(); b.do(chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile)) }

// narrow fails when something makes the page wider than the window.
func (b *tab) narrow() {
	b.Helper()
	if wide := read(b, chromedp.Evaluate[int]("document.documentElement.scrollWidth - document.documentElement.clientWidth")); wide > 0 {
		b.shot("wide")
		b.Errorf("%s is %d pixels wider than the window", read(b, chromedp.Location()), wide)
	}
}
