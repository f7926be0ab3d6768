// Package nest1d solves the one-dimensional cutting-stock problem: which bars to
// buy, and how to cut them, so that all pieces are had at least cost.
//
// # Problem
//
// Bars of several kinds k, each with its length, trims, tail, kerfs, supply and
// price, and pieces i with demands dᵢ. A pattern j is an ordered content of one
// bar that fits by the rules in geometry.go. With aᵢⱼ copies of piece i in
// pattern j and xⱼ bars cut so,
//
//	minimise   Σ priceⱼ·xⱼ
//	subject to Σ aᵢⱼ·xⱼ ≥ dᵢ         every piece is cut
//	           Σ xⱼ     ≤ supplyₖ     over the patterns of kind k
//	           xⱼ ≥ 0 and whole
//
// (Gilmore and Gomory, Operations Research 9 (1961) 849–859 and 11 (1963)
// 863–888). Equal cost is decided by fewest bars, then fewest different patterns,
// then the longest single offcut worth keeping.
//
// # Method
//
// First-fit decreasing and sequential value correction give plans at once, the
// total of material a bound. Column generation solves the linear relaxation over
// all patterns: bounded knapsacks, one for each kind of bar, are solved exactly
// in integers for the duals of the programme, which are smoothed between rounds
// (Wentges 1997). Rounded dives with new columns find plans, free ones and ones
// restricted to purchases whose sum of prices comes close to the bound. Then cuts
// of rank one raise the bound (Jepsen and others 2008; Pecin and others 2017; cuts by
// parity, Caprara and Fischetti 1996), with branch and price on the number of bars of
// a kind, on pairs of pieces and on sets of contents. What gap is
// left is closed by listing every pattern that a better plan could use, judged
// by its reduced cost, and branch and bound over that list with branches on pairs
// of pieces in the manner of Vance (1998) and Ryan and Foster (1981); see Belov
// and Scheithauer, European Journal of Operational Research 171 (2006) 85–106,
// for why the gap is nearly always below one bar.
//
// Bars that are cut into parts so that they can be carried, see Stock.Part, hold
// what can be dealt out to their parts; their knapsacks have two levels.
//
// # Proof
//
// Floating-point numbers occur in the linear programme alone and prove nothing.
// Every bound is recomputed from duals rounded to integers with proved knapsack
// bounds (see Certificate), raised to the next sum of prices that the supplies
// allow, or follows from a search that was exhausted with an integer bound at
// every node. A pricer that gives up or duals that are wrong weaken the bound and
// cannot make it false.
//
// # Limits
//
// Where ends with different kerfs or slants meet, the bound regards each joint as
// the mean of its two ends and so may stay below what any order reaches; small
// problems are settled exactly all the same. A plan must cover every demand exactly;
// nothing is said about stages or strength. Lengths,
// prices and demands may add up to 2⁵⁹. All searches are limited by counted work
// (Effort); equal input, options and seed give equal results unless the context
// ended.
package nest1d

import "sawbill/solver"

// Unlimited is the Supply of a stock kind that never runs out.
const Unlimited = -1

// Problem asks for the cheapest set of bars from which all pieces can be cut.
// All lengths are integers in one unit of the caller's choice, all prices
// integers in one unit of money.
type Problem struct {
	Pieces []Piece
	Stocks []Stock
	// Fixed holds layouts that are settled already (bars that are cut). The
	// pieces in them count towards the demands and their bars against the
	// supplies; the result does not repeat them and their price is not counted.
	Fixed []Layout
}

// Piece is a kind of piece and how many of it are wanted.
type Piece struct {
	// Length is overall, tip to tip, before any mitre is taken off.
	Length int64
	Demand int64
	// Left and Right name the cut kind of each end: an index into every
	// Stock.Kerf. Kind 0 is by convention the square cut.
	Left, Right int
	// Turn says that the piece may be turned end for end in the bar.
	Turn bool
	// LeftUp and RightUp say that the tip of a slanted end lies on the upper edge,
	// seen across the face that the slant is laid on: both alike make a trapezoid,
	// unlike a parallelogram. They matter where Stock.Slant is above 0.
	LeftUp, RightUp bool
	// Roll says that the piece may be rolled over, which brings both tips to the
	// other edge; Spin that it may be turned end for end and rolled at once, which
	// goes without saying where it may be both.
	Roll, Spin bool
	// Turned are the ends, from left to right, once the piece is turned end for end, where
	// that does more than exchange them: tips change their edges in a plane that the line
	// of turning is square to, and planes are exchanged about a line between them. Their
	// kerfs and slants are those of the ends. Nil where turning merely exchanges the ends.
	Turned *Ends
}

// Ends are the two ends of a piece as it lies.
type Ends struct {
	Left, Right     int
	LeftUp, RightUp bool
}

// Stock is a kind of bar on sale or on hand.
type Stock struct {
	Length int64
	// TrimLeft and TrimRight are cut off the two ends before use, each with
	// its own kerf included.
	TrimLeft, TrimRight int64
	// Tail is the length beyond the right trim that the saw cannot grip. With
	// a tail the last piece, too, is parted by a full kerf.
	Tail int64
	// Kerf is the length of bar that a cut of each kind uses: kerf/cos of the
	// angle from square, rounded up by the caller.
	Kerf []int64
	// Slant is how far along the bar a cut of each kind reaches across it:
	// width·tan of the angle from square, rounded down by the caller. Ends that meet
	// with their tips on opposite edges overlap by the shorter of their slants. Nil,
	// or 0 for a kind, where ends share no cuts; of no effect in a bar that is parted.
	Slant []int64
	// Plane numbers the plane that the slants of each kind lie in; slants overlap in
	// one plane only. Nil where all lie in one.
	Plane []int
	// Supply is how many there are, or Unlimited.
	Supply int64
	// Price of one bar. A price of 0 requires a finite supply.
	Price int64
	// Keep is the shortest offcut worth keeping; 0 when none is kept. Without
	// Credit it never changes the cost; among plans of equal cost longer offcuts win.
	Keep int64
	// Credit is what each unit of length of an offcut of at least Keep takes off the
	// price of its bar: money per length, less than Price/Length. The caller chooses
	// a unit of money in which it is whole. It asks for one kerf for all pieces and
	// bars in one part.
	Credit int64
	// Part, when above 0, is the length of the longest part that can be carried
	// and Parts, 1 or more, into how many the bar is cut before use, by first
	// cuts of width PartKerf. The parts cover all of the bar; how long each is
	// made is chosen for each layout. The outer parts hold the bar's trims,
	// other ends need none, and the tail is lost in every part with pieces.
	Part     int64
	Parts    int
	PartKerf int64
	// Longest is the longest piece that may be cut from it; 0 when any may.
	Longest int64
}

// Layout is how one bar is cut, and how many bars are cut so.
type Layout struct {
	Stock  int
	Count  int64
	Places []Place // ordered from the left end
	// Cuts are the left sides of the first cuts of a bar that is parted, counted
	// from the bar's left end, ascending.
	Cuts []int64
}

// Place puts one piece into a bar: its left tip lies At from the bar's left end.
type Place struct {
	Piece  int
	Turned bool
	At     int64
	Rolled bool
}

// Outcome tells the three ways a run can end.
type Outcome int

const (
	// NotFound: no plan was found within the limits, and none was excluded.
	NotFound Outcome = iota
	// Planned: Layouts cover every piece.
	Planned
	// Impossible: proved that no plan exists; Shortfall says why.
	Impossible
)

// Status of one goal, each conditional on the values of the goals before it.
type Status int

const (
	// NotSought: the goal was not worked on.
	NotSought Status = iota
	// Open: Value is the best found, Bound the best proved.
	Open
	// Proven: Value equals the proved Bound.
	Proven
)

// Goal is the value reached, the value no plan can beat, and what that makes.
type Goal struct {
	Value, Bound int64
	Status       Status
}

// Shortfall says why no plan exists.
type Shortfall struct {
	// TooLong lists the pieces that fit no bar, alone.
	TooLong []int
	// Length is a proved lower bound on the usable bar length that is missing
	// when the supplies, all of them limited, run out; 0 if unknown.
	Length int64
	// Unplaced lists, when supplies run out, kinds and counts left over in
	// the best partial plan found: an indication, not a proof.
	Unplaced []Unplaced
}

// Unplaced is a number of copies of a piece that found no bar.
type Unplaced struct {
	Piece int
	Count int64
}

// Certificate proves the bound on cost without the solver. With all values
// integers, for every stock kind k and every content a of one bar of that
// kind (0 ≤ aᵢ ≤ demandᵢ, in any order that fits),
//
//	Σᵢ Piece[i]·aᵢ ≤ Scale·(priceₖ − credit of the offcut) + Stock[k]
//
// so every plan costs at least (Σᵢ Piece[i]·demandᵢ − Σₖ supplyₖ·Stock[k]) / Scale,
// and, without credits, at least the next sum of prices that the supplies allow. Stock[k] is 0
// for unlimited kinds. Demands and supplies are net of Problem.Fixed.
type Certificate struct {
	Scale int64
	Piece []int64
	Stock []int64
	// Bound is ⌈the value above⌉, at least 0; Goal.Bound may be higher by
	// attainable sums, or when a search over all patterns was exhausted.
	Bound int64
	// Searched says that such a search raised Goal.Bound.
	Searched bool
	// Parted says that Goal.Bound is higher than all this because it regards
	// how pieces share the parts of bars. The certificate does not: for it a bar
	// that is parted is whole, with joints that take the smaller of their kerfs
	// and PartKerf.
	Parted bool
}

// Effort limits a search by counted work, never by the clock.
type Effort int

const (
	Normal Effort = iota
	Quick
	Long
)

// Options steer a run. The zero value is good.
type Options struct {
	Effort Effort
	Seed   int64
	// Engine makes the linear programs; nil means solver/embedded.
	Engine solver.Engine
	// Start holds layouts of an earlier plan of a like problem, in the pieces and
	// stocks of this one. Those that still fit here are where the search begins;
	// the others, and copies beyond what is wanted or left, are passed over.
	// The result depends on them as on any other option.
	Start []Layout
	// Progress, when set, is called from the solving goroutine at each change.
	Progress func(Progress)
}

// Progress is a glance at a running search.
type Progress struct {
	Value, Bound int64 // cost; Value 0 with Found false
	Found        bool
	Columns      int
	Nodes        int64
}

// Work counts what a run did.
type Work struct {
	Rounds  int   // column generation rounds
	Columns int   // patterns generated
	Nodes   int64 // nodes of all searches: pricing, MIP, diving
	// Root is the bound on cost after column generation, before cuts and searches.
	Root int64
}

// Limit names what ended a search before its natural end.
type Limit int

const (
	NoLimit Limit = iota
	EffortLimit
	// TimeLimit: the context ended. The result is then not reproducible.
	TimeLimit
)

// Result is a plan, what is proved about it, and what it took.
type Result struct {
	Outcome   Outcome
	Shortfall Shortfall
	// Layouts are grouped: equal bars share one entry. Sorted by stock, then
	// by descending used length, then by content, so equal plans look equal.
	Layouts []Layout
	// Goals in order of rank: least cost; then fewest bars; then fewest
	// different patterns; then the longest single offcut. Patterns are counted
	// as set-ups of the saw: layouts that differ only in which of several equal
	// pieces they name are one. Offcut is NotSought when none is left that is
	// worth keeping; there a greater Value is better and Bound is the most.
	Cost, Bars, Patterns, Offcut Goal
	Certificate                  Certificate
	Work                         Work
	Struck                       Limit
}
