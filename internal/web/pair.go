package web

import (
	"crypto/rand"
	"crypto/subtle"
	"net/http"
	"strings"
	"sync"
	"time"
)

// door lets in who has entered the code that the program shows where it runs.
type door struct {
	code string

	lock   sync.Mutex
	wrong  int       // attempts since the last good one or the last pause
	shut   time.Time // until then nothing is tried
	guests map[string]bool
}

// After so many wrong codes none is tried for a while. A code has 31⁸ forms, so
// that guessing takes ages.
const (
	mostWrong = 5
	pause     = time.Minute
)

// letters of a code: none that is taken for another.
const letters = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"

// Pair has everyone enter a code first, and returns it: a new one at each start.
// It must be called before Handler.
func (s *Server) Pair() string {
	var b strings.Builder
	for range 8 {
		// 248 is the largest multiple of 31 below 256.
		n := make([]byte, 1)
		for {
			_, _ = rand.Read(n) // never fails (crypto/rand)
			if n[0] < 248 {
				break
			}
		}
		b.WriteByte(letters[int(n[0])%len(letters)])
	}
	s.door = &door{code: b.String(), guests: map[string]bool{}}
	return s.door.code
}

// sessionName is the cookie of who was let in.
const sessionName = "sawbill"

// let lets a request through from who may ask.
func (s *Server) let(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if s.door != nil && !s.door.knows(r) {
			if r.Method == http.MethodGet && r.Header.Get("Accept") != "text/event-stream" {
				http.Redirect(w, r, "/pair", http.StatusSeeOther)
				return
			}
			http.Error(w, "enter the code first, at /pair", http.StatusForbidden)
			return
		}
		next(w, r)
	}
}

func (d *door) knows(r *http.Request) bool {
	c, err := r.Cookie(sessionName)
	d.lock.Lock()
	defer d.lock.Unlock()
	return err == nil && d.guests[c.Value]
}

// pair shows where the code is entered.
func (s *Server) pair(w http.ResponseWriter, r *http.Request) {
	s.show(w, http.StatusOK, "pair", pairView{Code: r.FormValue("code")})
}

type pairView struct{ Code, Refused string }

// enter lets in who has the code.
func (s *Server) enter(w http.ResponseWriter, r *http.Request) {
	session, why := s.door.try(r.PostForm.Get("code"), s.now())
	if why != nil {
		s.show(w, why.status, "pair", pairView{Refused: why.text})
		return
	}
	http.SetCookie(w, &http.Cookie{Name: sessionName, Value: session, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

// try is a session for the right code.
func (d *door) try(code string, now time.Time) (session string, no *refusal) {
	code = strings.Map(func(r rune) rune {
		if strings.ContainsRune(letters, r) {
			return r
		}
		return -1
	}, strings.ToUpper(code))
	d.lock.Lock()
	defer d.lock.Unlock()
	if now.Before(d.shut) {
		return "", refused(http.StatusTooManyRequests, "Too many wrong codes; wait a minute, then try again.")
	}
	if subtle.ConstantTimeCompare([]byte(code), []byte(d.code)) != 1 {
		if d.wrong++; d.wrong >= mostWrong {
			d.wrong, d.shut = 0, now.Add(pause)
		}
		return "", refused(http.StatusForbidden, "That is not the code that the program shows now.")
	}
	d.wrong = 0
	session = secret()
	d.guests[session] = true
	return session, nil
}
