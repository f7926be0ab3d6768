// Package job is what a person asks for: pieces and panels, the materials they
// are made of, what suppliers offer, and how things are cut. It reads job.toml
// and its tables, and explains every fault of every file in one go.
package job

import (
	"sawbill/internal/length"
	"sawbill/internal/section"
)

// Job is a valid job: every reference resolves and every value is in range.
type Job struct {
	Name     string
	Revision string
	// Date is YYYY-MM-DD, as the file says; never the clock's.
	Date     string
	Author   string // "drawn by", for the title block
	Note     string
	Currency string
	// Unit is how lengths are read and printed. Fraction is the denominator
	// inch prints are rounded to (16, 32, 64; 0 prints decimals).
	Unit         length.Unit
	Fraction     int64
	DecimalComma bool
	// Paper is "A4" or "Letter".
	Paper string
	// LongestLoad is the longest thing that can be fetched, of bars and of
	// sheets; WidestLoad the widest, of sheets. 0 when not given.
	LongestLoad, WidestLoad length.Length
	// Budget is what may be spent, tax included, in cents; 0 when not given.
	Budget int64
	// Rack says whether what lies on a rack is used.
	Rack RackUse

	Materials []Material // in file order
	Processes []Process  // in file order
	Suppliers []Supplier // in file order, then as the offers name them
	Offers    []Offer    // in table order
	Quotes    []Quote    // in table order
	Pieces    []Piece    // in table order
	Panels    []Panel    // in table order
	// Seams part panels that are larger than every sheet; their parts are in Panels.
	Seams []Seam
	// People is how many carry each group and AllowedLoad what the whole may
	// weigh, in milligrams; 0 when not given.
	People, AllowedLoad int64
	Brackets            []Bracket    // in table order
	Rivets              []Rivet      // in table order
	Joints              []Joint      // in table order
	Items               []Item       // in table order
	Consumables         []Consumable // in table order

	Labels   Labels
	Assembly Assembly

	Variants []Variant // in file order
	// Dimensions may still be changed; no plan of the job depends on them.
	Dimensions []Dimension // in table order

	// Goals are sought for sheets cut from edge to edge, after the least cost and in this
	// order; none stands for the fewest sheets and then the largest offcut.
	Goals []Goal
	// Digest is the SHA-256 (hex) over everything read, names of files and
	// bytes, in the order read.
	Digest string
	// Files are the paths read, as the user would write them.
	Files []string
	// Remarks are visible things that are no faults: a title row or a totals
	// row left out, a value rounded, a column not read.
	Remarks []Message
}

// Material is one thing bought in bars or in sheets, and cut one way.
type Material struct {
	Key     string
	Section section.Section
	Alloy   section.Material
	// Density in kg/m³: the alloy's, or what the job says.
	Density float64
	Process int // index into Job.Processes
	// Grain binds panels: true when a panel's length must lie along the
	// sheet's length.
	Grain bool
	// GoodSide is true when one face is the good one, so that panels must not be
	// turned over, and pieces lie with it on one side of the bar: where all sides are the
	// same it is the one that mitres are laid on, of others the wide side, of a channel
	// the back of the web.
	GoodSide bool
	// KeepOver is the shortest bar offcut worth keeping; KeepLength ×
	// KeepWidth the smallest sheet offcut. Zero keeps none.
	KeepOver              length.Length
	KeepLength, KeepWidth length.Length
	// Growth is the weight allowance in percent, times 100 (500 = 5 %).
	Growth int64
	// Spare is how many whole bars or sheets to buy beyond the need, and
	// SparePercent how many more in percent of the need, times 100, rounded up.
	Spare, SparePercent int64
	// RackValue is what pieces of it on a rack count for.
	RackValue RackValue
	Pos       Pos
}

// Sheet reports whether panels are cut from the material (else pieces).
func (m Material) Sheet() bool { return m.Section.IsSheet() }

// ProcessKind is the way a process cuts, which decides what it imposes.
type ProcessKind string

const (
	Saw      ProcessKind = "saw"       // bars, or sheets by hand: kerf
	PanelSaw ProcessKind = "panel saw" // sheets: kerf, edge to edge, stages
	Shear    ProcessKind = "shear"     // sheets: no kerf, edge to edge, smallest strip
	Beam     ProcessKind = "beam"      // laser, waterjet, plasma, router: spacing and margin
)

// Goal is what is sought among plans of the least cost.
type Goal string

const (
	FewestSheets  Goal = "fewest sheets"
	LargestOffcut Goal = "largest offcut" // the largest single rectangle
	LargestStrip  Goal = "largest strip"  // the same from edge to edge of a sheet
	FewestLayouts Goal = "fewest layouts" // different ones
	FewestCuts    Goal = "fewest cuts"
)

// AllGoals lists them.
var AllGoals = []Goal{FewestSheets, LargestOffcut, LargestStrip, FewestLayouts, FewestCuts}

// CutDirection is which way a cut runs on a sheet.
type CutDirection string

const (
	CutsAlongLength CutDirection = "along length"
	CutsAlongWidth  CutDirection = "along width"
)

// Process is how a material is cut and what that costs in length.
type Process struct {
	Key  string
	Kind ProcessKind
	Kerf length.Length // of saws; spacing between parts of beams
	// Trim is cut off before use, its own kerf included: for bars Left and
	// Right, for sheets all four edges (a beam's margin).
	TrimLeft, TrimRight, TrimBottom, TrimTop length.Length
	// Tail is what the saw cannot grip at the right end of a bar.
	Tail length.Length
	// CutError is the saw's stated error of one cut; 0 when not stated.
	CutError length.Length
	// CapacityWidth and CapacityHeight are what the saw holds and cuts at once,
	// square; 0 when not stated: then bars are cut one by one.
	CapacityWidth, CapacityHeight length.Length
	// Stages limits edge-to-edge cutting; 0 is any. Exact forbids the last
	// trimming cut beyond the limit.
	Stages   int
	Exact    bool
	MinStrip length.Length
	// FirstCut is the direction of the first stage of cuts, "" for either.
	FirstCut CutDirection
	// Blade is the longest cut a shear makes, 0 for any.
	Blade length.Length
	// SharedMitres is true of a saw at which neighbours in a bar whose mitres match
	// share one cut; OneWay of one that swings one way only, so that the bar is
	// rolled between slants of different hands.
	SharedMitres, OneWay bool
	// BySupplier is true when whoever sells the bar or sheet also cuts it to
	// the list, and charges for that; else we cut at home.
	BySupplier bool
	Pos        Pos
}

// Trims is how many edges of a sheet are cut off.
func (p Process) Trims() int64 {
	n := int64(0)
	for _, t := range []length.Length{p.TrimLeft, p.TrimRight, p.TrimBottom, p.TrimTop} {
		if t > 0 {
			n++
		}
	}
	return n
}

// Supplier is who sells, and what it charges beside the price of the goods.
// All money is in cents of the job's currency, before tax.
type Supplier struct {
	Name string
	// An order is delivered for Delivery, or fetched for Fetch; one of Delivers
	// and Fetched is true, both where we may choose. What is fetched must be
	// no longer and no wider than the job's load. Our own stock counts as
	// delivered for nothing.
	Delivers, Fetched bool
	Delivery, Fetch   int64
	// Minimum is the smallest order: what the goods lack to it is charged.
	Minimum int64
	// Cut and Mitre are the prices of one square and one mitred cut. The first
	// FreeCuts square cuts of an order cost nothing.
	Cut, Mitre int64
	FreeCuts   int64
	// CutKerf is the kerf of the saw with which bars are cut to the load; -1
	// when not stated: then that of the material's process counts.
	CutKerf length.Length
	// CutMetre is the price of a metre of cut in sheets and Pierce that of one
	// piercing, both in thousandths of a cent and at most 10¹¹; PerSheet is the price of handling one
	// sheet, SetUp that of one material.
	CutMetre, Pierce int64
	PerSheet, SetUp  int64
	// Tax in thousandths of a percent, on all that the supplier bills.
	Tax int64
	// OnHand is true of our own stock: its prices are what we value it at, and
	// nothing is ordered, billed or taxed.
	OnHand bool
	// ByMark is true when the supplier lays out its own stock and prices each
	// mark (Job.Quotes); its offers, if any, only tell what would be fair.
	ByMark bool
	// How it wants the drawings of panels: as of R12, with the layers of what is
	// cut inside and outside apart, with the mark engraved.
	DXFR12, DXFInsideOutside, DXFEngraved bool
	// DXFSheets is true when it wants whole sheets as laid out, in place of panels.
	DXFSheets bool
	Pos       Pos
}

// Quote is a supplier's price for one piece or panel, cut and ready.
type Quote struct {
	Supplier int // index into Job.Suppliers
	Mark     string
	Price    int64 // cents for one
	Pos      Pos
}

// Tier is the price that holds for the whole quantity from From bars or sheets on.
type Tier struct {
	From  int64
	Price int64 // cents for one pack
	Text  string
}

// Offer is one size of one material, and its prices.
type Offer struct {
	Supplier int // index into Job.Suppliers
	Material int // index into Job.Materials
	// Length of a bar or sheet; Width of a sheet, 0 for a bar.
	Length, Width length.Length
	// Price of one bar or sheet in cents, rounded half up once, at the smallest
	// quantity. What is billed follows Tiers.
	Price int64
	// Pack is how many make one pack, the least that is sold; 1 when sold singly.
	Pack int64
	// Tiers are the prices by quantity, at least one, From ascending. The first
	// holds from its From on, which is more than 1 where fewer are not sold.
	Tiers []Tier
	// PriceText is the price as the table says it, "3.70 per m".
	PriceText string
	// Stock is how many there are, or -1 when the table does not limit it.
	Stock int64
	// Rack is the number that a piece of a rack has there, and Place where it
	// lies; 0 for what is sold.
	Rack  int64
	Place string
	Pos   Pos
	// Further are the rows of its other tiers.
	Further []Pos
}

// Piece is one row of the list of pieces: Quantity copies of one mark.
type Piece struct {
	Mark     string
	Material int
	// Length is overall, tip to tip.
	Length length.Length
	// Left and Right are end angles from square in thousandths of a degree,
	// −60 000 to 60 000; both of one sign make a trapezoid.
	Left, Right int64
	// LeftFace and RightFace are the sides that mitred ends are laid on: Narrow where the
	// end is square or the sides of the section are all the same. A positive angle has its
	// tip on the lower edge of the wide side, on the back edge of the narrow one: at the
	// heel of an angle, at the web of a channel. See section.Face.
	LeftFace, RightFace section.Face
	Quantity            int64
	// Copies are the numbers of the copies where they are not 1 to Quantity, as
	// others are made already; ascending.
	Copies []int
	// LeftLong is true when the piece may come long and we trim it to fit.
	LeftLong    bool
	Group, Note string
	Pos         Pos
}

// Panel is one row of the list of panels: Quantity copies of one mark.
type Panel struct {
	Mark     string
	Material int
	// Length lies along the sheet's length unless turned.
	Length, Width length.Length
	// Turn allows a quarter turn.
	Turn     bool
	Quantity int64
	// Copies are the numbers of the copies where they are not 1 to Quantity, as
	// others are made already; ascending.
	Copies      []int
	Group, Note string
	// Form is nil for a plain rectangle. Length and Width are over all.
	Form *Form
	Pos  Pos
}

// Copy is the number of the copy at place i, from 0.
func (p Piece) Copy(i int) int { return copyAt(p.Copies, i) }

// Copy is the number of the copy at place i, from 0.
func (p Panel) Copy(i int) int { return copyAt(p.Copies, i) }

func copyAt(copies []int, i int) int {
	if copies == nil {
		return i + 1
	}
	return copies[i]
}
