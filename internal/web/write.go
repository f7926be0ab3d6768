package web

import (
	"bytes"
	"errors"
	"net/http"
	"strings"
	"unicode"
	"unicode/utf8"

	"sawbill/internal/replace"
)

// refusal is why something was not done.
type refusal struct {
	status int
	text   string
	yours  string // what was to be written, where it would be lost
}

func refused(status int, text string) *refusal { return &refusal{status: status, text: text} }

// file is one to be written: what it holds and what it is to hold.
type file struct {
	path      string
	old, data []byte
}

// write writes files anew, all or none, and tells how to take that back. Whoever
// calls it holds the lock.
func (s *Server) write(files ...file) (undo, *refusal) {
	var done undo
	for _, f := range files {
		if err := replace.File(f.path, f.data); err != nil {
			for _, u := range done {
				err = errors.Join(err, replace.File(u.path, u.data))
			}
			return nil, refused(http.StatusInternalServerError, sentence(err))
		}
		done = append(done, before{f.path, f.old, version(f.data)})
	}
	return done, nil
}

// change has files of a job written with the lock held, keeps what they were,
// and names those written.
func (s *Server) change(p place, do func() (undo, *refusal)) (saved string, no *refusal) {
	s.lock.Lock()
	defer s.lock.Unlock()
	back, no := do()
	if no != nil || back == nil {
		return s.short(p.path), no
	}
	list := append(s.undos[p.Rel], back)
	s.undos[p.Rel] = list[max(0, len(list)-mostUndos):]
	var names []string
	for _, b := range back {
		names = append(names, s.short(b.path))
	}
	return strings.Join(names, " and "), nil
}

// unixLines is a text as a browser sends it, with the line ends that it had.
func unixLines(text string, old []byte) []byte {
	text = strings.ReplaceAll(text, "\r\n", "\n")
	if bytes.Contains(old, []byte("\r\n")) {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	return []byte(text)
}

// sentence is an error as a sentence: with a capital letter and a full stop.
func sentence(err error) string {
	text := err.Error()
	r, n := utf8.DecodeRuneInString(text)
	text = string(unicode.ToUpper(r)) + text[n:]
	if !strings.HasSuffix(text, ".") {
		text += "."
	}
	return text
}
