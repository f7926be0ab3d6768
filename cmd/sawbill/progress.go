package main

import (
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"golang.org/x/term"

	"sawbill/internal/plan"
	"sawbill/internal/plan/planner"
)

// progressLine shows on one terminal line how far the search is. It stays
// silent when the writer is no terminal.
type progressLine struct {
	out      io.Writer
	currency string
	width    int
	last     time.Time
	shown    bool
	order    []string
	states   map[string]planner.Progress
}

func newProgressLine(w io.Writer, currency string) *progressLine {
	l := &progressLine{out: w, currency: currency, states: map[string]planner.Progress{}}
	if f, isFile := w.(*os.File); isFile && term.IsTerminal(int(f.Fd())) {
		l.width = 80
		if columns, _, err := term.GetSize(int(f.Fd())); err == nil && columns > 20 {
			l.width = columns
		}
	}
	return l
}

// update redraws at most ten times a second.
func (l *progressLine) update(p planner.Progress) {
	if l.width == 0 {
		return
	}
	if p.Purchase {
		// All materials are planned on their own; now they are bought together.
		p.Material = "the purchase"
		l.order = []string{p.Material}
	} else if !slices.Contains(l.order, p.Material) {
		l.order = append(l.order, p.Material)
	}
	l.states[p.Material] = p
	if now := time.Now(); p.Done || now.Sub(l.last) > 100*time.Millisecond {
		l.last = now
		l.draw()
	}
}

func (l *progressLine) draw() {
	var best, bound plan.Money
	var working []string
	found := true
	for _, key := range l.order {
		s := l.states[key]
		best += s.Value
		bound += s.Bound
		found = found && s.Found
		if !s.Done {
			working = append(working, key)
		}
	}
	text := "no plan yet"
	if found {
		text = fmt.Sprintf("best %s %s", best, l.currency)
	}
	text += fmt.Sprintf(", cannot be under %s; ", bound)
	if len(working) > 0 {
		text += "working on " + strings.Join(working, ", ")
	} else {
		text += "drawing"
	}
	if runes := []rune(text); len(runes) >= l.width {
		text = string(runes[:l.width-1])
	}
	fmt.Fprintf(l.out, "\r\x1b[K%s", text)
	l.shown = true
}

// say shows a text of its own.
func (l *progressLine) say(text string) {
	if l.width == 0 {
		return
	}
	fmt.Fprintf(l.out, "\r\x1b[K%s", text)
	l.shown = true
}

func (l *progressLine) clear() {
	if l.shown {
		fmt.Fprint(l.out, "\r\x1b[K")
	}
}
