package embedded

// The tolerances, all in scaled units (the matrix is scaled so that its
// entries lie near one), in one place because they depend on each other.
const (
	// primalTolerance is how far a value may lie outside its bounds.
	primalTolerance = 1e-9
	// dualTolerance is how far a reduced cost may have the wrong sign.
	dualTolerance = 1e-9
	// lastResort is the multiple of both tolerances that is accepted when
	// rounding errors of an ill-conditioned basis hide how to get closer.
	lastResort = 10
	// harrisSlack widens bounds in the ratio tests so that a larger pivot can
	// be taken; half the tolerance, so that what it lets through passes the
	// test above.
	harrisSlack = 5e-10
	// pivotTolerance is the least pivot the ratio tests look at, and
	// weakPivot the least one taken without refactorising first.
	pivotTolerance = 1e-9
	weakPivot      = 1e-6
	// singularTolerance is the pivot below which the factorisation calls the
	// rest of a basis dependent.
	singularTolerance = 1e-10
	// weightNoise is the weight in an equation below which it counts for zero
	// beside an infinite bound.
	weightNoise = 1e-12
	// markowitzThreshold is the least pivot relative to its column; 0.1 is
	// the usual balance of sparsity against growth (Suhl & Suhl 1990).
	markowitzThreshold = 0.1
	// dropTolerance is the size below which a computed entry is taken for zero.
	dropTolerance = 1e-14
	// driftTolerance is the relative disagreement between two computations
	// of one pivot or reduced cost above which the basis is refactorised.
	driftTolerance = 1e-7
	// updateTolerance is the same for the new diagonal of an updated factor.
	updateTolerance = 1e-6
	// refactorInterval is the number of updates after which the basis is
	// refactorised in any case.
	refactorInterval = 100
	// leastEdge keeps updated steepest-edge weights, squares of norms, away
	// from zero, where rounding would carry them.
	leastEdge = 1e-4
	// largestShift is the largest reduced cost of the wrong sign that the
	// dual method shifts away after a refactorisation; a larger one means it
	// runs from a basis that is not dual feasible.
	largestShift = 1e-3
	// perturbation is the relative size of the random widening of bounds and
	// costs: well above the tolerances, far below the data.
	perturbation = 1e-6
	// stallLimit is the number of steps of length zero in a row after which
	// bounds or costs are perturbed.
	stallLimit = 20
)
