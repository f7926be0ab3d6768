package web

import (
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"strings"
	"testing"
	"time"
)

// paired is a server that others can ask, seen by someone who keeps cookies and
// is not led on.
func paired(t *testing.T) (s *site, code string, clock *time.Time) {
	now := time.Date(2026, 11, 30, 9, 0, 0, 0, time.UTC)
	s = open(t, Program{}, func(v *Server) { code, v.now = v.Pair(), func() time.Time { return now } })
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	s.Client().Jar = jar
	s.Client().CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return s, code, &now
}

// TestPair: without the code there is nothing; with it, a session that scripts
// and other sites do not get at.
func TestPair(t *testing.T) {
	s, code, _ := paired(t)
	if status, _ := s.get("/"); status != http.StatusSeeOther {
		t.Errorf("the jobs are shown to anyone: %d", status)
	}
	for _, path := range []string{"/job?f=a/job.toml", "/plan?f=a/job.toml", "/compare?f=a/job.toml", "/saw?f=a/job.toml", "/rack", "/file?f=a/job.toml&p=x", "/pack.zip?f=a/job.toml", "/events?k=plan&f=a/job.toml"} {
		if status, page := s.get(path); status != http.StatusSeeOther || strings.Contains(page, s.token) {
			t.Errorf("%s is shown to anyone: %d", path, status)
		}
	}
	// The token alone opens nothing.
	for _, path := range []string{"/job/text", "/plan/start", "/compare/take", "/rack/add", "/new", "/quit"} {
		if status, _ := s.post(path, "f", "a/job.toml", "text", "x"); status != http.StatusForbidden {
			t.Errorf("%s is done for anyone: %d", path, status)
		}
	}
	if _, page := s.get("/pair?code=" + code); !strings.Contains(page, `value="`+code+`"`) || !strings.Contains(page, "not encrypted") {
		t.Error(page)
	}
	a, err := s.Client().PostForm(s.URL+"/pair", url.Values{"code": {" " + strings.ToLower(code[:4]) + " " + code[4:]}})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	c := a.Header.Get("Set-Cookie")
	if a.StatusCode != http.StatusSeeOther || !strings.Contains(c, "HttpOnly") || !strings.Contains(c, "SameSite=Strict") {
		t.Errorf("%d %q", a.StatusCode, c)
	}
	if status, page := s.get("/"); status != http.StatusOK || !strings.Contains(page, "not encrypted") {
		t.Errorf("%d %s", status, page)
	}
	if status, _ := s.post("/job/undo", "f", "a/job.toml"); status != http.StatusConflict { // nothing to take back
		t.Error(status)
	}
	// A cookie that was made up is none.
	r, _ := http.NewRequest("GET", s.URL+"/rack", nil)
	r.AddCookie(&http.Cookie{Name: sessionName, Value: "x"})
	b, err := http.DefaultTransport.RoundTrip(r)
	if err != nil || b.StatusCode != http.StatusSeeOther {
		t.Error(b, err)
	}
	b.Body.Close()
}

// TestGuessing: after five wrong codes the right one is not taken either, for a minute.
func TestGuessing(t *testing.T) {
	s, code, clock := paired(t)
	try := func(code string) int {
		a, err := s.Client().PostForm(s.URL+"/pair", url.Values{"code": {code}})
		if err != nil {
			t.Fatal(err)
		}
		a.Body.Close()
		return a.StatusCode
	}
	for range mostWrong {
		if status := try("ABCDEFGH"); status != http.StatusForbidden {
			t.Error(status)
		}
	}
	if status := try(code); status != http.StatusTooManyRequests {
		t.Errorf("the right code is taken while guessing is stopped: %d", status)
	}
	*clock = clock.Add(59 * time.Second)
	if status := try(code); status != http.StatusTooManyRequests {
		t.Error(status)
	}
	*clock = clock.Add(2 * time.Second)
	if status := try(code); status != http.StatusSeeOther {
		t.Error(status)
	}
	// Another start has another code.
	if _, other, _ := paired(t); other == code || len(other) != 8 || len(code) != 8 {
		t.Error(code, other)
	}
	// The form is as limited as any.
	if status := try(strings.Repeat("A", largestBody+1)); status != http.StatusRequestEntityTooLarge {
		t.Error(status)
	}
}

// TestHosts: an address is asked by its own name, and that of all by the names of
// this machine; by no other.
func TestHosts(t *testing.T) {
	at := func(address string) string {
		a, err := net.ResolveTCPAddr("tcp", address)
		if err != nil {
			t.Fatal(err)
		}
		return " " + strings.Join(Hosts(a), " ") + " "
	}
	if got := at("127.0.0.1:80"); got != " 127.0.0.1:80 localhost:80 " {
		t.Error(got)
	}
	if got := at("192.168.1.20:80"); got != " 192.168.1.20:80 " {
		t.Error(got)
	}
	for _, want := range []string{" localhost:80 ", " 127.0.0.1:80 ", " [::1]:80 "} {
		if got := at("0.0.0.0:80"); !strings.Contains(got, want) || strings.Contains(got, "0.0.0.0:80") && !strings.Contains(got, "127") {
			t.Error(got)
		}
	}
}
