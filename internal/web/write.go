package web

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"
)

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
