package web

import (
	"errors"
	"net"
	"net/http"
	"slices"
	"strings"
	"time"
)

// Limits of one request.
const (
	largestBody = 8 << 20
	readTime    = 20 * time.Second
	writeTime   = 2 * time.Minute
)

// headers go with every answer.
func headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		// Of who takes an answer too slowly no memory is kept.
		_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(writeTime))
		next.ServeHTTP(w, r)
	})
}

// Hosts are the names under which an address that is listened on may be asked:
// its own and, where it is that of all, those of this machine.
func Hosts(at net.Addr) []string {
	host, port, err := net.SplitHostPort(at.String())
	if err != nil {
		return nil
	}
	ips := []string{host}
	ip := net.ParseIP(host)
	switch {
	case ip.IsUnspecified():
		ips = []string{"localhost", "127.0.0.1", "::1"}
		own, _ := net.InterfaceAddrs() // without them this machine itself can still ask
		for _, a := range own {
			if n, ok := a.(*net.IPNet); ok {
				ips = append(ips, n.IP.String())
			}
		}
	case ip.IsLoopback():
		ips = append(ips, "localhost")
	}
	var hosts []string
	for _, ip := range ips {
		hosts = append(hosts, net.JoinHostPort(ip, port))
	}
	return hosts
}

// known refuses requests for a host that is not this machine.
func known(hosts []string, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !slices.Contains(hosts, r.Host) {
			http.Error(w, "this is not the host that was asked for", http.StatusForbidden)
			return
		}
		next.ServeHTTP(w, r)
	})
}

const tooLarge = "that is more than can be taken at once, which is 8 MB"

// limited reads the form of a request, of a reasonable size, that comes in
// reasonable time.
func (s *Server) limited(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.ContentLength > largestBody { // not even begun with
			w.Header().Set("Connection", "close")
			http.Error(w, tooLarge, http.StatusRequestEntityTooLarge)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, largestBody)
		_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(s.slowest))
		err := r.ParseForm()
		if err == nil && strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/form-data") {
			err = r.ParseMultipartForm(1 << 20)
		}
		if r.MultipartForm != nil {
			defer func() { _ = r.MultipartForm.RemoveAll() }()
		}
		var large *http.MaxBytesError
		switch {
		case errors.As(err, &large):
			http.Error(w, tooLarge, http.StatusRequestEntityTooLarge)
			return
		case err != nil:
			http.Error(w, "the form could not be read", http.StatusBadRequest)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// guarded lets a request through that carries the token.
func (s *Server) guarded(next http.HandlerFunc) http.HandlerFunc {
	return s.limited(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.PostForm.Get("token") != s.token {
			http.Error(w, "the page is of another run of the program; load it again", http.StatusForbidden)
			return
		}
		next(w, r)
	})).ServeHTTP
}
