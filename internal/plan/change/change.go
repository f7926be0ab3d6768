// Package change says in what one job and its plan differ from another: what
// was added, removed or changed, what that does to cost and mass, and what to
// add to or cancel from an order that was sent after the old plan.
//
// It is values only. The differences from a to b are those from b to a with
// old and new in each other's place, entry for entry and in the same order.
package change

import (
	"fmt"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// Diff is the whole difference of two jobs and their plans.
type Diff struct {
	Currency string
	Old, New Side
	// Entries are in the order of their kinds, then by name.
	Entries []Entry
	// Lines are all goods bought by either plan, those too whose count stays,
	// by supplier, mark, stock and size.
	Lines []Line
}

// Side is one of the two plans in figures.
type Side struct {
	Number string // plan no.
	Job    plan.JobRef
	// Payable is what is to be paid, taxes included; Bound the least that Goods
	// and Charges together could be.
	Goods, Charges, Payable, Bound plan.Money
	Status                         plan.Status
	Mass                           plan.Masses
	Struck                         string
}

// Kind says what an entry speaks of.
type Kind string

// The kinds, in the order of entries.
const (
	Head       Kind = "job"
	Piece      Kind = "piece"
	Panel      Kind = "panel"
	Material   Kind = "material"
	Process    Kind = "process"
	Supplier   Kind = "supplier"
	Offer      Kind = "offer"
	Quote      Kind = "quote"
	Joint      Kind = "joint"
	Bracket    Kind = "bracket"
	Rivet      Kind = "rivet"
	Item       Kind = "item"
	Consumable Kind = "consumable"
	Variant    Kind = "variant"
)

// State says what became of it.
type State string

// The states of an entry.
const (
	Added   State = "added"
	Removed State = "removed"
	Changed State = "changed"
)

// Entry is one thing that differs.
type Entry struct {
	Kind Kind
	// Name is the mark, the key or the name; of an offer the supplier and the
	// material, with its size in Length and Width; of a rivet these are its diameter
	// and its length. Of a quote it is the supplier and the mark.
	Name          string
	Length, Width length.Length
	State         State
	// Fields are what differs; of a thing added or removed what it has.
	Fields []Field
}

// Field is one property before and after; a side that has none is zero.
type Field struct {
	Name     string
	Old, New Value
}

// Form is how a value is to be printed.
type Form int

// The forms of a value. None is that of a side that does not exist.
const (
	None    Form = iota
	Text         // Value.Text
	Length       // Number in units of 25 nm
	Angle        // Number in thousandths of a degree
	Money        // Number in cents
	Percent      // Number in hundredths of a percent
	Rate         // Number in thousandths of a percent
	Count        // Number
	Flag         // Number 1 is yes
	Mass         // Number in milligrams
)

// Value is one side of a field.
type Value struct {
	Form   Form
	Number int64
	Text   string
}

func (v Value) blank() bool { return v.Number == 0 && v.Text == "" }

// Line is what is bought of one size of one stock from one supplier, whichever
// materials of the job it is for.
type Line struct {
	Supplier      string
	Stock, Alloy  string
	Length, Width length.Length // Width 0 for a bar
	// Mark is that of a piece or panel which comes cut and ready, with Length and Width
	// over all and in Cut a digest of how it is cut; empty for whole bars and sheets.
	Mark, Cut string
	Old, New  int64
}

// Add is how many more to order, 0 when none.
func (l Line) Add() int64 { return max(0, l.New-l.Old) }

// Cancel is how many to take back from the order, 0 when none.
func (l Line) Cancel() int64 { return max(0, l.Old-l.New) }

// Comparable refuses two jobs in different currencies.
func Comparable(old, new *job.Job) error {
	if old.Currency != new.Currency {
		return fmt.Errorf("the old job is in %q and the new one in %q, so their costs cannot be compared; write one currency in both", old.Currency, new.Currency)
	}
	return nil
}

// Plans puts two jobs and their plans against each other. Whether they are
// Comparable is for the caller to ask.
func Plans(oldJob, newJob *job.Job, old, new *plan.Plan) *Diff {
	return &Diff{Currency: new.Currency, Old: sideOf(old), New: sideOf(new), Entries: Jobs(oldJob, newJob), Lines: Lines(Bought(oldJob, old), Bought(newJob, new))}
}

func sideOf(p *plan.Plan) Side {
	s := Side{Number: p.Number, Job: p.Job, Goods: p.Goods, Payable: p.Payable, Bound: p.Bound, Status: p.Status, Mass: p.Mass, Struck: p.Struck}
	for _, c := range p.Charges {
		s.Charges += c.Amount
	}
	return s
}
