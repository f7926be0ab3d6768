package nest2d

// Unlimited is the Supply of a sheet kind that never runs out.
const Unlimited = -1

// Problem asks for the cheapest set of sheets from which all panels can be
// cut, with edge-to-edge (guillotine) cuts unless placement is free. Lengths
// are integers in one unit of the caller's choice, prices integers in one unit
// of money. A sheet lies with its length along x and its width along y, origin
// at the lower left.
type Problem struct {
	Panels []Panel
	Sheets []Sheet
	// Windows are where other panels may lie inside panels, when placement is free.
	Windows []Window
	// Free says that a panel may lie anywhere, as for a laser, a router or a
	// waterjet: there are no cuts from edge to edge, and so no stages, no
	// direction of a first cut and no narrowest strip. Kerf is then the spacing
	// kept between panels, and the trims are the margins.
	Free bool
	// Stages limits the number of guillotine stages (rip, crosscut, recut);
	// 0 means any number. The limit is non-exact when TrimCut is true: one
	// more cut may then free a panel from waste beside it.
	Stages  int
	TrimCut bool
	// FirstCut fixes the direction of the first stage; AnyDirection is free.
	FirstCut Direction
}

// Direction of a cut line.
type Direction int

const (
	AnyDirection Direction = iota
	// AlongLength: the cut line runs along x (a rip); the parts lie one above the other.
	AlongLength
	// AlongWidth: the cut line runs along y (a crosscut); the parts lie side by side.
	AlongWidth
)

// Panel is a kind of rectangle and how many of it are wanted. Unturned, its
// Length lies along x.
type Panel struct {
	Length, Width int64
	Demand        int64
	// Turn says that it may be turned by 90°.
	Turn bool
}

// Sheet is a kind of sheet on sale or on hand.
type Sheet struct {
	Length, Width int64
	// Trims are cut off the edges before use, each with its own kerf included.
	TrimLeft, TrimRight, TrimBottom, TrimTop int64
	// Kerf is lost at every cut, except where what remains is narrower than it.
	// It is the spacing between panels when placement is free.
	Kerf int64
	// Supply is how many there are, or Unlimited.
	Supply int64
	// Price of one sheet. A price of 0 requires a finite supply.
	Price int64
	// MinStrip is the narrowest strip the machine can hold and cut; 0 if any.
	// It binds parts that are kept (panels and parts cut further), not waste, and
	// nothing when placement is free.
	MinStrip int64
	// Blade is the longest cut the machine makes in one go, as a shear does; 0 if any.
	// It binds nothing when placement is free.
	Blade int64
	// LongestPanel × WidestPanel is the largest panel, turned at will, that may be
	// cut from it; a side that is 0 binds no panel.
	LongestPanel, WidestPanel int64
	// window says that it is a window of a panel, turns that the panel may be turned,
	// turned that it can be on some sheet, and free that all may be turned in it.
	window, turns, turned, free bool
}

// allows says whether a panel may be cut from the sheet, whatever its own size.
func (s Sheet) allows(a Panel) bool {
	if s.turned && !s.free && !a.Turn {
		return false // it would turn with the panel around it
	}
	long, wide := max(a.Length, a.Width), min(a.Length, a.Width)
	most, least := s.LongestPanel, s.WidestPanel
	if most > 0 && least > most {
		most, least = least, most
	}
	return (most == 0 || long <= most) && (least == 0 || wide <= least)
}

// Layout is how one sheet is cut, and how many sheets are cut so.
type Layout struct {
	Sheet int
	Count int64
	// Places in cutting order; in rows from the bottom left when placement is free.
	Places []Place
	// Tree is the cut tree over the trimmed sheet, nil when placement is free.
	Tree *Node
}

// Place puts one panel on a sheet: its lower left corner at X, Y.
type Place struct {
	Panel  int
	X, Y   int64
	Turned bool
	// In is 1 + the index of the place in whose panel's window it lies; 0 when it
	// lies in none.
	In int
}

// NodeKind tells what becomes of a rectangle.
type NodeKind int

const (
	// Waste is not used by a panel; it may be an offcut worth keeping.
	Waste NodeKind = iota
	// Whole is exactly one panel.
	Whole
	// Split is cut into its children, left to right or bottom to top, by
	// parallel cuts one kerf wide.
	Split
)

// Node is a rectangle of a cut tree.
type Node struct {
	Kind                NodeKind
	X, Y, Length, Width int64
	// Cut is the direction of the cuts that part the children of a Split.
	Cut Direction
	// Stage of those cuts, 1 for the first; nested splits alternate direction.
	Stage    int
	Children []*Node
	// Place is the index into Layout.Places of a Whole.
	Place int
}

// Outcome tells the three ways a run can end.
type Outcome int

const (
	// NotFound: no plan was found within the limits, and none was excluded.
	NotFound Outcome = iota
	// Planned: Layouts cover every panel.
	Planned
	// Impossible: proved that no plan exists; Shortfall says why.
	Impossible
)

// Status of one goal, each conditional on the values of the goals before it.
type Status int

const (
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
	// TooLarge lists the panels that fit no sheet, alone.
	TooLarge []int
	// Area is a proved lower bound on the usable sheet area that is missing
	// when the supplies, all of them limited, run out; 0 if unknown.
	Area float64
	// Unplaced lists kinds and counts left over in the best partial plan
	// found: an indication, not a proof.
	Unplaced []Unplaced
}

// Unplaced is a number of copies of a panel that found no sheet.
type Unplaced struct {
	Panel int
	Count int64
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
	// AnyPlan asks only whether there is a plan: the search ends with the first
	// one. Its cost is then what it happens to be, fewer sheets and a larger
	// offcut are not sought, and the certificate may be empty.
	AnyPlan bool
	// Aims are sought at the least cost, in this order; nil stands for FewestSheets and
	// then LargestOffcut, as always when placement is free.
	Aims     []Aim
	Progress func(Progress)
}

// Progress is a glance at a running search.
type Progress struct {
	Value, Bound int64
	Found        bool
	Iterations   int64
}

// Work counts what a run did.
type Work struct {
	Iterations int64
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
	// Layouts are grouped: equal sheets share one entry; sorted, so equal plans look equal.
	Layouts []Layout
	// Goals in order of rank: least cost; then, unless Options name other Aims, fewest
	// sheets; then the largest single rectangular offcut (area, in square units).
	// Strip, Different (layouts) and Cuts are filled in where Options name Aims.
	Cost, Sheets, Offcut   Goal
	Strip, Different, Cuts Goal
	Certificate            Certificate
	Work                   Work
	Struck                 Limit
}
