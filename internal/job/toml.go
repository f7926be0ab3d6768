package job

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"
)

// The TOML reader keeps what a decoder throws away, the place of every key and
// value, and goes on after a line it cannot read: that line is explained, left
// out, and the rest is read under the same header. So one run shows every
// fault.

// document is a job file taken apart: headers in file order.
type document struct {
	text     source
	sections []*heading
}

// heading is one header and the entries under it.
type heading struct {
	path    []string
	pos     Pos
	entries []*entry
	// unread are keys of lines that could not be read: they have been
	// explained, so they are not missed as well.
	unread map[string]bool
	// lost is set where the header itself could not be read.
	lost bool
}

// entry is one key with its value.
type entry struct {
	key   string
	pos   Pos // of the key
	value value
}

// value is one TOML value as written.
type value struct {
	kind unstable.Kind
	// text is the value without quotes and escapes.
	text string
	raw  string
	pos  Pos
	// block is set for a string between ''' or """. offset is then where text
	// begins in the file, or -1 if escapes moved it.
	block  bool
	offset int
}

// source is the text of a file, able to say where an offset is.
type source struct {
	file  string
	data  []byte
	lines []int32 // offsets of line starts; files are far smaller than 2 GB
}

func newSource(file string, data []byte) source {
	s := source{file: file, data: data, lines: []int32{0}}
	for i, c := range data {
		// A CR alone ends a line too, as old spreadsheets write it.
		if c == '\n' || c == '\r' && (i+1 == len(data) || data[i+1] != '\n') {
			s.lines = append(s.lines, int32(i+1))
		}
	}
	return s
}

// line is the index of the line an offset is in. O(log n).
func (s source) line(offset int) int {
	lo, hi := 0, len(s.lines)
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; int(s.lines[mid]) <= offset {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// at is the place of an offset.
func (s source) at(offset int) Pos {
	offset = min(max(offset, 0), len(s.data))
	l := s.line(offset)
	return Pos{File: s.file, Line: l + 1, Column: utf8.RuneCount(s.data[s.lines[l]:offset]) + 1}
}

// end is the offset behind the line an offset is in, its line end included.
func (s source) end(offset int) int {
	if l := s.line(offset) + 1; l < len(s.lines) {
		return int(s.lines[l])
	}
	return len(s.data)
}

// lineText is the line an offset is in, without its end.
func (s source) lineText(offset int) string {
	return strings.TrimRight(string(s.data[s.lines[s.line(offset)]:s.end(offset)]), "\r\n")
}

// parseTOML takes a document apart. Every line that is no TOML becomes a fault.
func parseTOML(text source) (*document, Faults) {
	d := &document{text: text}
	var faults Faults
	here := &heading{} // entries above any header
	d.sections = append(d.sections, here)

	var p unstable.Parser
	for base := 0; base < len(text.data) && len(faults) < mostFaults; {
		p.Reset(text.data[base:])
		good := base // end of the last expression read
		for p.NextExpression() {
			node := p.Expression()
			switch node.Kind {
			case unstable.Table, unstable.ArrayTable:
				here = &heading{}
				for it := node.Key(); it.Next(); {
					at := base + int(it.Node().Raw.Offset)
					if len(here.path) == 0 {
						here.pos = text.at(bytes.LastIndexByte(text.data[:at], '['))
					}
					here.path = append(here.path, string(it.Node().Data))
					good = text.end(at)
				}
				if node.Kind == unstable.ArrayTable {
					faults = append(faults, Message{here.pos, fmt.Sprintf("the header [[%s]] has double brackets; write [%[1]s]", strings.Join(here.path, "."))})
				}
				d.sections = append(d.sections, here)
			case unstable.KeyValue:
				here.entries = append(here.entries, d.entry(base, node))
				good = text.end(base + int(node.Raw.Offset) + int(node.Raw.Length))
			}
		}
		err := p.Error()
		if err == nil {
			break
		}
		at := len(text.data)
		var syntax *unstable.ParserError
		if errors.As(err, &syntax) && len(syntax.Highlight) > 0 {
			at = base + int(p.Range(syntax.Highlight).Offset)
		}
		start := skipBlankLines(text.data, good, at)
		fault, next := explain(text, start, at, err.Error())
		faults = append(faults, fault)
		if line := strings.TrimSpace(text.lineText(start)); strings.HasPrefix(line, "[") {
			here = &heading{pos: text.at(start), path: meantHeader(line), lost: true}
			d.sections = append(d.sections, here)
		} else {
			if here.unread == nil {
				here.unread = map[string]bool{}
			}
			here.unread[meantKey(line)] = true
		}
		base = max(next, text.end(start))
	}
	return d, faults
}

// meantHeader is the path of a header that is no TOML, as far as it can be
// guessed, so that what stands below it is not lost.
func meantHeader(line string) []string {
	inside, _, _ := strings.Cut(strings.TrimLeft(cutComment(line), "[ "), "]")
	if inside = strings.TrimSpace(inside); inside == "" {
		return nil
	}
	kind, name, named := strings.Cut(inside, ".")
	if !named {
		kind, name, named = strings.Cut(inside, " ")
	}
	if !named {
		return []string{kind}
	}
	return []string{strings.TrimSpace(kind), strings.Trim(name, ` "'.`)}
}

// meantKey is the key of a line that is no TOML.
func meantKey(line string) string {
	end := strings.IndexAny(line, "=:")
	if end < 0 {
		end = len(line)
	}
	return strings.Join(strings.Fields(strings.ReplaceAll(line[:end], "_", "-")), "-")
}

// skipBlankLines moves from the end of one expression to the start of the next,
// never beyond the place of the error.
func skipBlankLines(data []byte, from, limit int) int {
	for from < limit {
		line := data[from:]
		if i := bytes.IndexByte(line, '\n'); i >= 0 {
			line = line[:i+1]
		}
		text := bytes.TrimSpace(line)
		if len(text) > 0 && text[0] != '#' || from+len(line) > limit {
			return from + len(line) - len(bytes.TrimLeft(line, " \t"))
		}
		from += len(line)
	}
	return min(from, limit)
}

// entry reads a key and its value. A dotted key keeps its dots.
func (d *document) entry(base int, node *unstable.Node) *entry {
	e := &entry{pos: d.text.at(base + int(node.Raw.Offset))}
	var parts []string
	for it := node.Key(); it.Next(); {
		parts = append(parts, string(it.Node().Data))
	}
	e.key = strings.Join(parts, ".")
	v := node.Value()
	e.value = value{kind: v.Kind, text: string(v.Data), pos: e.pos, offset: -1}
	if v.Raw.Length == 0 {
		return e // arrays and inline tables carry no range
	}
	at := base + int(v.Raw.Offset)
	e.value.raw = string(d.text.data[at : at+int(v.Raw.Length)])
	e.value.pos = d.text.at(at)
	for _, mark := range []string{"'''", `"""`} {
		if v.Kind != unstable.String || !strings.HasPrefix(e.value.raw, mark) {
			continue
		}
		e.value.block = true
		from := at + len(mark)
		from += len(firstLineEnd(d.text.data[from:]))
		if bytes.HasPrefix(d.text.data[from:], []byte(e.value.text)) {
			e.value.offset = from
		}
	}
	return e
}

// firstLineEnd is the line end a block string may begin with.
func firstLineEnd(b []byte) []byte {
	switch {
	case bytes.HasPrefix(b, []byte("\r\n")):
		return b[:2]
	case bytes.HasPrefix(b, []byte("\n")):
		return b[:1]
	}
	return nil
}
