package progress

import (
	"fmt"
	"slices"

	"sawbill/internal/length"
)

// What may become of a copy.
const (
	Cut   = "cut"   // it is made, and good
	Wrong = "wrong" // it was cut, and is not what it should be
	Lost  = "lost"  // it was cut, and nobody has it
	Open  = "open"  // not cut, or taken back what was said
)

// What may become of a bar or sheet of a layout.
const (
	Short   = "short"   // it has another size than it should, be it shorter or longer
	Damaged = "damaged" // a stretch of a bar cannot be used
	Missing = "missing" // it never came, or nobody has it
)

// Event is one thing that happened: to a copy, when Mark is set, else to the
// stock of a layout.
type Event struct {
	// Become is one of the words above.
	Become string `json:"become"`

	Mark string `json:"mark,omitempty"`
	Copy int    `json:"copy,omitempty"`
	// From is the copy that came out wrong from which this one was cut.
	From *Copy `json:"from,omitempty"`

	// Plan, Material and Number name a layout.
	Plan     string `json:"plan,omitempty"`
	Material string `json:"material,omitempty"`
	Number   int    `json:"number,omitempty"`

	// Length and Width are what a wrong copy or a short bar or sheet really
	// measures; 0 when that is not known, or nothing of the copy can be used.
	Length length.Length `json:"length,omitempty"`
	Width  length.Length `json:"width,omitempty"`
	// OtherHand says that a wrong copy is the mirror image of what it should be.
	OtherHand bool `json:"other-hand,omitempty"`
	// Start and End are a stretch of a bar, from its left end.
	Start length.Length `json:"start,omitempty"`
	End   length.Length `json:"end,omitempty"`
}

// copies are what became of each, the last word counting; stocks what became of
// the stock of layouts.
type history struct {
	copies map[Copy]Event
	stocks map[layoutName]fate
}

type layoutName struct {
	plan, material string
	number         int
}

func (l Layout) name() layoutName { return layoutName{l.Plan, l.Material, l.Layout.Number} }

// fate is what became of a bar or sheet.
type fate struct {
	length, width length.Length // 0 as planned
	missing       bool
	damaged       [][2]length.Length
}

func told(events []Event) history {
	h := history{map[Copy]Event{}, map[layoutName]fate{}}
	for _, e := range events {
		if e.Mark != "" {
			h.copies[Copy{e.Mark, e.Copy}] = e
			continue
		}
		name := layoutName{e.Plan, e.Material, e.Number}
		f := h.stocks[name]
		switch e.Become {
		case Open:
			f = fate{}
		case Missing:
			f.missing = true
		case Short:
			f.length, f.width, f.missing = e.Length, e.Width, false
		case Damaged:
			f.damaged = append(slices.Clip(f.damaged), [2]length.Length{e.Start, e.End})
		}
		h.stocks[name] = f
	}
	return h
}

func (c Copy) String() string { return fmt.Sprintf("%s/%d", c.Mark, c.Copy) }
