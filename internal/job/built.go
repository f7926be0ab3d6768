package job

import (
	"fmt"
	"slices"
	"strings"
)

// Built is the text of a job file in which a variant is the job: its keys stand in
// the places of the job's own, which become comments, as do its headers. What the
// tables offer for it is not changed. Errors are one sentence.
func Built(path string, data []byte, name string) ([]byte, error) {
	text := newSource(path, data)
	doc, faults := parseTOML(text)
	if len(faults) > 0 {
		return nil, fmt.Errorf("the job file has faults; put them right first")
	}
	e := lineEdit{text: text, aside: map[int]bool{}, below: map[int][]string{}}
	found := false
	for _, s := range doc.sections {
		if len(s.path) != 4 || s.path[0] != "variant" || s.path[1] != name {
			continue
		}
		found = true
		i := slices.IndexFunc(doc.sections, func(t *heading) bool { return slices.Equal(t.path, s.path[2:]) })
		if i < 0 {
			return nil, fmt.Errorf("the job has no header [%s] for what the variant %s changes; write it in by hand", strings.Join(s.path[2:], "."), quote(name))
		}
		if err := e.take(s, doc.sections[i]); err != nil {
			return nil, err
		}
	}
	if !found {
		return nil, fmt.Errorf("the job has no variant %s any more", quote(name))
	}
	return e.apply(), nil
}

// lineEdit changes a text by whole lines, counted from 1.
type lineEdit struct {
	text  source
	aside map[int]bool // lines that become comments
	below map[int][]string
}

// take writes the entries of one header in the places of another's.
func (e *lineEdit) take(variant, own *heading) error {
	for _, s := range []*heading{variant, own} {
		if !strings.HasPrefix(strings.TrimSpace(e.line(s.pos.Line)), "[") {
			return fmt.Errorf("[%s] is no header on a line of its own; change the job file by hand", strings.Join(s.path, "."))
		}
	}
	e.aside[variant.pos.Line] = true
	for _, new := range variant.entries {
		if strings.ContainsAny(new.value.raw, "\r\n") {
			return fmt.Errorf("%s of a variant goes over several lines; change the job file by hand", new.key)
		}
		at := own.pos.Line
		for _, old := range own.entries {
			if old.key != new.key {
				continue
			}
			if strings.ContainsAny(old.value.raw, "\r\n") {
				return fmt.Errorf("%s of the job goes over several lines; change the job file by hand", old.key)
			}
			at = old.pos.Line
			e.aside[at] = true
		}
		e.aside[new.pos.Line] = true
		e.below[at] = append(e.below[at], e.line(new.pos.Line))
	}
	return nil
}

func (e *lineEdit) line(n int) string { return e.text.lineText(int(e.text.lines[n-1])) }

func (e *lineEdit) apply() []byte {
	var out strings.Builder
	for i, start := range e.text.lines {
		if e.aside[i+1] {
			out.WriteString("# ")
		}
		out.Write(e.text.data[start:e.text.end(int(start))])
		for _, l := range e.below[i+1] {
			if s := out.String(); !strings.HasSuffix(s, "\n") && !strings.HasSuffix(s, "\r") {
				out.WriteString(lineBreak(e.text.data))
			}
			out.WriteString(l + lineBreak(e.text.data))
		}
	}
	return []byte(out.String())
}

// AsideLines is a text with the lines made comments that a sheet's rows stand on,
// as Aside would: for a text in which cells were changed since the sheet was read.
func (s Sheet) AsideLines(read, now []byte, rows ...int) ([]byte, error) {
	aside, err := s.Aside(read, rows...)
	if err != nil {
		return nil, err
	}
	before, after := newSource("", read), newSource("", aside)
	text := newSource("", now)
	if len(text.lines) != len(before.lines) {
		return nil, fmt.Errorf("the table of %s has other lines now", s.Name)
	}
	e := lineEdit{text: text, aside: map[int]bool{}}
	for i := range before.lines {
		e.aside[i+1] = before.lineText(int(before.lines[i])) != after.lineText(int(after.lines[i]))
	}
	return e.apply(), nil
}
