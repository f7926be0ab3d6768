// Package plan is the answer to a job: what to buy, how every bar and sheet is
// cut, what it costs and weighs, and what is proved about it. A plan is a
// value; everything printed comes from it, and it can be proved again from the
// job and itself alone.
//
// All lengths are integers of 25 nm, all money decimal strings, all masses
// decimal kilograms.
package plan

import "sawbill/internal/length"

// Version of the format that Encode writes. Decode refuses any other.
const Version = 2

// Plan answers one job.
type Plan struct {
	Version int    `json:"version"`
	Unit    string `json:"unit"` // "25 nm": the unit of every length below
	// Number is the short plan no. on every page: the head of Digest.
	Number string `json:"number"`
	// Digest is the SHA-256 over this plan's own content; see Seal.
	Digest   string  `json:"digest"`
	Job      JobRef  `json:"job"`
	Options  Options `json:"options"`
	Currency string  `json:"currency"`
	// Rack is what could be used from a rack; nil where no rack was looked at, or
	// nothing there was of use.
	Rack *Rack `json:"rack,omitempty"`

	Materials []Material `json:"materials"`
	// Goods is the price of all that is bought, spares included.
	Goods Money `json:"goods"`
	// Charges are what suppliers add, by supplier in the job's order.
	Charges []Charge `json:"charges,omitempty"`
	// Total is Goods and Charges together, before tax: what the plan makes
	// least, but for GivenUp. Bound is the least it could be.
	Total Money `json:"total"`
	Bound Money `json:"bound"`
	// Status is Proven when Total equals Bound.
	Status Status `json:"status"`
	// GivenUp is the part of Total that was given up for fewer patterns: without it
	// Total would be the least found.
	GivenUp Money `json:"given-up,omitempty"`
	// PurchaseProof backs Bound where suppliers tie materials together; without
	// it Bound is the sum of the materials' bounds.
	PurchaseProof *PurchaseProof `json:"purchase-proof,omitempty"`
	// Orders are the suppliers that are bought from, in the job's order.
	Orders []Order `json:"orders"`
	// OnHand is the part of Total that is our own stock, at what we value it at.
	OnHand Money `json:"on-hand,omitempty"`
	Taxes  []Tax `json:"taxes,omitempty"`
	// Payable is Total less OnHand, plus Taxes.
	Payable Money  `json:"payable"`
	Mass    Masses `json:"mass"`
	// Struck says what ended the search early: "", "effort", "time" or
	// "interrupt". After time or interrupt the plan may not come out the same again.
	Struck string `json:"struck,omitempty"`
}

// Ways in which an order comes home.
const (
	Delivered = "delivered"
	Fetched   = "fetched"
	OnHand    = "on hand"
)

// Order is what is bought from one supplier, and how it comes home.
type Order struct {
	Supplier string `json:"supplier"`
	Way      string `json:"way"` // Delivered, Fetched or OnHand
}

// Tax is one supplier's: Rate thousandths of a percent of Net, which is all that
// it bills, rounded half up to the cent.
type Tax struct {
	Supplier string `json:"supplier"`
	Rate     int64  `json:"rate"`
	Net      Money  `json:"net"`
	Amount   Money  `json:"amount"`
}

// JobRef names the job a plan answers.
type JobRef struct {
	Name     string `json:"name"`
	Revision string `json:"revision"`
	Date     string `json:"date"`
	Digest   string `json:"digest"`
}

// Options that shaped the search.
type Options struct {
	Effort string `json:"effort"`
	Seed   int64  `json:"seed"`
	// SetUps is how much of the least total may be given up for fewer patterns of
	// bars, in hundredths of a percent.
	SetUps int64 `json:"set-ups,omitempty"`
}

// Status of one goal.
type Status string

const (
	Proven Status = "proven"
	Open   Status = "open" // best found, not proved best
)

// Kinds of material.
const (
	Bar   = "bar"
	Sheet = "sheet"
)

// Material is the part of the plan that concerns one material.
type Material struct {
	Key     string `json:"key"`
	Stock   string `json:"stock"` // canonical designation
	Alloy   string `json:"alloy"`
	Kind    string `json:"kind"` // Bar or Sheet
	Process string `json:"process"`
	// Free is true when panels may lie anywhere on the sheets, as a beam (laser
	// and the like) cuts them: there are no cut trees, and the kerf is the spacing.
	Free bool `json:"free,omitempty"`
	// Spaced is true when sheets for a beam are planned edge to edge all the same,
	// with the spacing in place of the kerf: they may have to be cut to be carried.
	Spaced bool  `json:"spaced,omitempty"`
	Goals  Goals `json:"goals"`
	// BarProof or SheetProof backs Goals.Cost.Bound.
	BarProof   *BarProof   `json:"bar-proof,omitempty"`
	SheetProof *SheetProof `json:"sheet-proof,omitempty"`
	Buy        []Line      `json:"buy"`
	// ByMark is set when all marks are bought cut and ready from one supplier:
	// Marks are its prices, Goals.Cost.Value is their sum, Buy and Layouts are empty.
	ByMark  string   `json:"by-mark,omitempty"`
	Marks   []Quote  `json:"marks,omitempty"`
	Layouts []Layout `json:"layouts"`
	Mass    Masses   `json:"mass"`
	Shares  Shares   `json:"shares"`
	Struck  string   `json:"struck,omitempty"`
}

// Goals in order of rank, each conditional on those before it. Of sheets Order names
// other goals than the usual ones after cost, which are Count and Offcut; Patterns
// (different layouts), Strip and Cuts are given with it, and what it does not name is
// told and not sought. Bars have no Order and always Patterns. The unit of Offcut is base units of length for bars, square
// base units for sheets.
type Goals struct {
	Cost     MoneyGoal  `json:"cost"`
	Count    CountGoal  `json:"count"`
	Patterns *CountGoal `json:"patterns,omitempty"`
	Offcut   CountGoal  `json:"offcut"`
	Order    []string   `json:"order,omitempty"`
	// Strip is the area of the largest leftover from edge to edge of a trimmed sheet,
	// Cuts the number of all cuts, trims included.
	Strip *CountGoal `json:"strip,omitempty"`
	Cuts  *CountGoal `json:"cuts,omitempty"`
}

// MoneyGoal is a cost reached and the cost no plan can beat.
type MoneyGoal struct {
	Value  Money  `json:"value"`
	Bound  Money  `json:"bound"`
	Status Status `json:"status"`
}

// CountGoal is a whole number reached and the number no plan can beat.
type CountGoal struct {
	Value  int64  `json:"value"`
	Bound  int64  `json:"bound"`
	Status Status `json:"status"`
}

// Line is one offer bought.
type Line struct {
	Offer    int           `json:"offer"` // index into the job's offers
	Supplier string        `json:"supplier"`
	Length   length.Length `json:"length"`
	Width    length.Length `json:"width,omitempty"`
	// Count is how many bars or sheets are bought; Spare of them are not cut.
	Count int64 `json:"count"`
	Spare int64 `json:"spare,omitempty"`
	// Pack is how many bars or sheets are sold together, when more than one.
	Pack int64 `json:"pack,omitempty"`
	// Each is the price of one pack at this quantity. Amount is Count / Pack of it.
	Each   Money `json:"each"`
	Amount Money `json:"amount"`
}

// Quote is one mark bought cut and ready: Amount is Count times Each.
type Quote struct {
	Mark   string `json:"mark"`
	Count  int64  `json:"count"`
	Each   Money  `json:"each"`
	Amount Money  `json:"amount"`
}

// Layout is one bar or one sheet and how it is cut.
type Layout struct {
	// Number runs from 1 within the material, in cutting order.
	Number int `json:"number"`
	// Pattern is the same for layouts that are cut alike, mark for mark.
	Pattern int     `json:"pattern"`
	Stock   Stock   `json:"stock"`
	Pieces  []Piece `json:"pieces,omitempty"`
	Panels  []Panel `json:"panels,omitempty"`
	// Tree is how a sheet is cut edge to edge; nil where panels lie freely.
	Tree *Part `json:"tree,omitempty"`
	// TrimsAtYard says that the supplier trims the edges of a sheet, because it is too large
	// to be carried as it is sold.
	TrimsAtYard bool `json:"trims-at-yard,omitempty"`
	// Strip is the offcut kept of a sheet on which panels lie freely: the largest
	// strip from edge to edge of the trimmed sheet that is worth keeping.
	Strip *Part `json:"strip,omitempty"`
	// Offcut of a bar is what remains right of the last cut; Kept when it is
	// long enough to keep. Offcuts of a sheet are Strip, or the parts of Tree worth keeping.
	Offcut length.Length `json:"offcut,omitempty"`
	Kept   bool          `json:"kept,omitempty"`
	// FirstCuts are where the supplier cuts a bar so that it can be carried:
	// positions of the left sides of these cuts, each FirstKerf wide, ascending.
	FirstCuts []length.Length `json:"first-cuts,omitempty"`
	FirstKerf length.Length   `json:"first-kerf,omitempty"`
}

// Stock is the bar or sheet a layout is cut from.
type Stock struct {
	Offer    int           `json:"offer"`
	Supplier string        `json:"supplier"`
	Length   length.Length `json:"length"`
	Width    length.Length `json:"width,omitempty"`
}

// Piece is one piece in a bar: its left tip lies At from the bar's left end.
type Piece struct {
	Mark string        `json:"mark"`
	Copy int           `json:"copy"`
	At   length.Length `json:"at"`
	// Turned end for end, which exchanges its ends as they are listed, and Rolled
	// over, which exchanges the edges that their tips lie on, so that mitres share
	// cuts. It is turned about the line that is square to the wide side, so that tips on
	// that side change their edges too; an angle about the line that halves it, so that
	// its legs are exchanged. Where nothing is shared both are false and how it lies is
	// left open.
	Turned bool `json:"turned,omitempty"`
	Rolled bool `json:"rolled,omitempty"`
}

// Panel is one panel on a sheet: its lower left corner lies at X, Y.
type Panel struct {
	Mark   string        `json:"mark"`
	Copy   int           `json:"copy"`
	X      length.Length `json:"x"`
	Y      length.Length `json:"y"`
	Turned bool          `json:"turned"` // a quarter anticlockwise
	// In is 1 + the index into Layout.Panels of the panel in whose opening it lies;
	// 0 when it lies in none.
	In int `json:"in,omitempty"`
}

// Cut directions of a Part.
const (
	AlongLength = "length" // the cut line runs along x
	AlongWidth  = "width"  // the cut line runs along y
)

// Part is a rectangle of a cut tree: a panel, a leftover, or cut further.
type Part struct {
	X      length.Length `json:"x"`
	Y      length.Length `json:"y"`
	Length length.Length `json:"length"`
	Width  length.Length `json:"width"`
	// Cut is the direction of the cuts that part Parts; "" in a leaf.
	Cut   string  `json:"cut,omitempty"`
	Stage int     `json:"stage,omitempty"`
	Parts []*Part `json:"parts,omitempty"`
	// AtYard marks a part too large to carry, whose cuts the supplier makes.
	AtYard bool `json:"at-yard,omitempty"`
	// Panel is 1 + the index into Layout.Panels; 0 for a leftover or a cut part.
	Panel int `json:"panel,omitempty"`
	// Kept marks a leftover large enough to keep.
	Kept bool `json:"kept,omitempty"`
}

// What a supplier charges for beside the goods, in the order of a bill.
// Cutting is followed by a blank and the panel's mark, SetUp and PerSheet by a
// blank and the material's key.
const (
	SquareCuts = "square cuts" // Free of Count cost nothing
	MitreCuts  = "mitre cuts"
	Cutting    = "cutting"
	PerSheet   = "handling"
	SetUp      = "set-up"
	SmallOrder = "small order"
	Delivery   = "delivery"
	Fetching   = "fetching"
)

// Charge is an amount a supplier adds to the price of the goods. Where it is
// counted, Amount is Count less Free, times Each.
type Charge struct {
	Supplier string `json:"supplier"`
	What     string `json:"what"`
	Count    int64  `json:"count,omitempty"`
	Free     int64  `json:"free,omitempty"`
	Each     Money  `json:"each,omitempty"`
	Amount   Money  `json:"amount"`
}

// Masses of all pieces or panels, of all that is bought to be cut, of the offcuts
// kept, and of the rest (scrap, kerf and trims). Bought is the sum of the others;
// spares are not in it.
type Masses struct {
	Pieces  Mass `json:"pieces"`
	Bought  Mass `json:"bought"`
	Offcuts Mass `json:"offcuts"`
	Scrap   Mass `json:"scrap"`
	// Allowed is Pieces with the job's growth allowance on top.
	Allowed Mass `json:"allowed"`
}

// Shares of the bought length or area, in hundredths of a percent; they sum
// to 10 000.
type Shares struct {
	Used    int64 `json:"used"`
	Offcuts int64 `json:"offcuts"`
	Scrap   int64 `json:"scrap"`
}

// BarProof proves the least cost of bars: with all values integers, for every
// stock kind k and every content a of one of its bars,
//
//	Σ pieces[i].value·aᵢ ≤ scale·priceₖ + stocks[k].value
//
// so the cost is at least (Σ valueᵢ·demandᵢ − Σ supplyₖ·valueₖ) / scale, rounded up, and
// then up to the next sum of prices that the stocks allow.
type BarProof struct {
	Scale  int64        `json:"scale"`
	Pieces []PieceValue `json:"pieces"`
	Stocks []StockValue `json:"stocks"`
	Bound  Money        `json:"bound"`
	// Searched says that the bound of the goals is higher than the values
	// prove, because every cheaper purchase was searched without a plan.
	Searched bool `json:"searched,omitempty"`
}

// PieceValue is the dual value of all pieces of one length and pair of angles
// (thousandths of a degree), laid on the wide side of the section or the other.
type PieceValue struct {
	Length    length.Length `json:"length"`
	Left      int64         `json:"left,omitempty"`
	Right     int64         `json:"right,omitempty"`
	LeftWide  bool          `json:"left-wide,omitempty"`
	RightWide bool          `json:"right-wide,omitempty"`
	Value     int64         `json:"value"`
}

// StockValue is the dual value of an offer whose stock is limited.
type StockValue struct {
	Offer int   `json:"offer"`
	Value int64 `json:"value"`
}
