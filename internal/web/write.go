package web

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"
)

// replace writes a file anew, whole or not at all, with the permissions it had.
func replace(path string, data []byte) error {
	mode := os.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		mode = info.Mode().Perm()
	}
	t, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-")
	if err != nil {
		return err
	}
	defer os.Remove(t.Name())
	_, err = t.Write(data)
	if err = errors.Join(err, t.Sync(), t.Close(), os.Chmod(t.Name(), mode)); err != nil {
		return err
	}
	return os.Rename(t.Name(), path)
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
