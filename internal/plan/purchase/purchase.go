// Package purchase chooses what to buy from whom, when the choice for one
// material bears on another: orders have a fee and a smallest size, prices fall
// with the quantity, stock is sold in packs, and the first cuts are free.
//
// # Problem
//
// Let nₖ be how many bars or sheets of kind k are cut, sₖ how many more of its
// offer are spares, and bⱼ how many of offer j are bought, in whole packs:
//
//	minimise   Σ fees + Σ max(minimum, goods) + Σ cut·max(0, cuts − free) + Σ other charges
//	subject to Σ nₖ + sⱼ ≤ bⱼ                 over the kinds of each offer
//	           n holds all pieces              for every material
//	           or the material is bought by the mark
//	           at most one order of each supplier, spares enough
//
// where goods price the whole quantity bⱼ at the tier it reaches. The second
// condition is known only to an Oracle, which can say of one n whether the
// pieces can be cut from it, and gives inequalities Σ worthₖ·nₖ ≥ Σ valueᵢ·xᵢ
// (Covers) that hold for every n that will do.
//
// # Method
//
// Logic-based Benders decomposition (Hooker and Ottosson, Mathematical
// Programming 96 (2003) 33–60): branch and bound over a mixed-integer programme
// with the covers known so far. A whole point is put to the oracle. If its counts
// do not suffice, the oracle's reason becomes a cover, or the node is divided: a
// purchase that suffices has more of some kind, or fewer pieces of some class.
//
// # Proof
//
// The linear programmes are floating-point and prove nothing. Each bound is
// computed again in integers from their duals, which may be anything (Neumaier
// and Shcherbina, Mathematical Programming 99 (2004) 283–296): every column has
// finite bounds, so any multipliers give a valid bound. No node is dropped because a
// programme was found infeasible: rows may be broken for a penalty beyond any
// known purchase, and a node goes when its bound says so.
package purchase

import (
	"context"

	"sawbill/solver"
)

// Problem is a purchase to be made. All money is in whole units.
type Problem struct {
	// Orders that may be placed. Of those with the same Supplier at most one is.
	Orders    []Order
	Offers    []Offer
	Materials []Material
}

// Order is one supplier's in one way home.
type Order struct {
	Supplier int
	Fee      int64 // once
	Minimum  int64 // goods below it are charged as much
	// Cut is the price of a counted cut; the first Free cost nothing.
	Cut, Free int64
}

// Offer is one size at its prices, in one order.
type Offer struct {
	Order    int
	Material int
	// Stock is the most that can be had; always finite.
	Stock int64
	Pack  int64
	// Tiers ascend in From, which counts bars or sheets. Price is that of a pack.
	Tiers []Tier
	// Spare says that it can serve as a spare.
	Spare bool
}

// Tier is the price of a pack when From or more bars or sheets are bought.
type Tier struct{ From, Price int64 }

// Material is what is cut from one material's offers.
type Material struct {
	// Demand of every class of piece. Pieces of a class are alike in all that
	// is charged for and to the oracle.
	Demand []int64
	Kinds  []Kind
	Groups []Group
	// Spare bars or sheets are bought beyond those cut, and SparePercent/10000
	// of those cut, rounded up.
	Spare, SparePercent int64
	// Marks are the suppliers that sell all pieces cut and ready.
	Marks []Marks
	// Covers are known from the start.
	Covers []Cover
	Oracle Oracle
}

// Kind is an offer in the form in which it is cut.
type Kind struct {
	Offer int
	Group int
	// Cuts are counted in the offer's order for each one, Each is charged.
	Cuts, Each int64
	// Least are cut in any case, and Most at most.
	Least, Most int64
}

// Group is the part of a material in which what is charged for cutting a piece
// is the same. The pieces are divided among the groups.
type Group struct {
	// Order the cuts are counted in; -1 when none are.
	Order int
	// SetUp is charged when anything is cut.
	SetUp int64
	// Cuts are counted for a piece of each class, Each is charged.
	Cuts, Each []int64
}

// Marks is the price of all pieces of a material, cut and ready.
type Marks struct {
	Order int
	Price int64
}

// Cover is the inequality Σ Worth[k]·nₖ ≥ Σ Value[i]·xᵢ for the kinds of every
// group and the pieces cut from them. Without Value it holds for the whole material
// alone, with Need at the right.
type Cover struct {
	Value []int64 // per class; below 0 of one that makes room for others
	Worth []int64 // per kind
	Need  int64
	// Beyond marks covers that the caller cannot write down; they count all the same.
	Beyond bool
}

// Fit is an oracle's answer.
type Fit int

const (
	// Unknown: neither layouts nor a proof that there are none.
	Unknown Fit = iota
	// Packed: there are layouts.
	Packed
	// Short: proved that there are none.
	Short
)

// Answer to whether pieces can be cut from some bars or sheets.
type Answer struct {
	Fit Fit
	// Used is how many of each kind of the material the layouts take.
	Used []int64
	// Covers are inequalities of which one may be the proof of Short.
	Covers []Cover
}

// Oracle knows how a material can be cut.
type Oracle interface {
	// Pack tries to cut pieces[i] of every class i from counts[k] of every
	// kind k of the material; kinds of other groups have the count 0.
	Pack(ctx context.Context, counts, pieces []int64) Answer
}

// Options limit and watch a search.
type Options struct {
	// Work limits the search: each node counts as many units as its programme has
	// rows and columns. Packs are the most questions put to the oracles.
	Work  int64
	Packs int
	// Starts are purchases known to suffice.
	Starts []Start
	Engine solver.Engine // nil means solver/embedded
	// Progress, when set, is called at each change.
	Progress func(total, bound int64, found bool)
}

// Start is a purchase known to suffice: per material what is cut of each
// kind, and the pieces cut in each group by class.
type Start struct {
	Counts [][]int64
	Pieces [][][]int64
}

// Choice is a whole purchase.
type Choice struct {
	Placed []bool    // per order
	Bought []int64   // per offer, bars or sheets
	Marks  []int     // per material: 1 + the index of the Marks taken, or 0
	Counts [][]int64 // per material and kind: how many are cut
	Pieces [][][]int64
	Total  int64
}

// Shortage is a proof by the oracle that counts do not suffice for pieces.
type Shortage struct {
	Material, Group int
	Counts, Pieces  []int64
}

// Result is the best purchase found and the least any could cost.
type Result struct {
	Best  *Choice // nil when none was found
	Bound int64
	// Impossible is true when no purchase suffices, which is proved.
	Impossible bool
	// Covers per material and Shortages are what the bound rests on.
	Covers    [][]Cover
	Shortages []Shortage
	// Struck is true when a limit of counted work ended the search early, or
	// an oracle had no answer; Ended when the context did.
	Struck, Ended bool
}
