// Package nest2d plans the cutting of rectangles from sheets, by cuts that run
// from edge to edge (guillotine cuts) or, as a laser, a router or a waterjet
// does it, with panels placed anywhere.
//
// # The problem
//
// Panels i of size lᵢ × wᵢ are wanted dᵢ times; sheets of kind k cost cₖ and
// there are at most sₖ of them. A layout of kind k is a tree of guillotine
// cuts of the trimmed sheet, each cut one kerf wide, whose leaves are panels
// and waste; stages, first direction and narrowest strip may be limited. With
// P the set of all layouts, aᵢₚ the copies of panel i in layout p, and xₚ the
// number of sheets cut by it,
//
//	min Σ c_k(p)·xₚ   Σₚ aᵢₚ·xₚ = dᵢ,   Σ of xₚ of kind k ≤ sₖ,   xₚ ≥ 0 integer.
//
// Among plans of least cost those with the fewest sheets are better, and
// among these the one with the largest single rectangle of waste; other aims in
// another order can be asked for (aims.go). A blade that is shorter than a sheet
// limits its cuts too (blade.go).
//
// When placement is free, a layout is any placement of panels inside the margins
// (the trims) and a spacing (the kerf) apart. A panel may then have windows, in
// which others lie (window.go): kinds of sheets that cost nothing, of which there
// are as many as there are such panels.
//
// # The method
//
// Sizes are grown by one kerf, after which cuts have no width.
//
// Layouts are trees of least sizes (tree.go): waste is not stored, so a panel
// can be set beside any node of a tree as far as the sheet has room. First
// plans insert the panels in several orders at the tightest spot. Then ruin
// and recreate (Schrimpf, Schneider, Stamm-Wilbrandt & Dueck 2000) with late
// acceptance (Burke & Bykov 2017) takes subtrees out and inserts the panels
// again, always within limits tighter than the best plan: the next lower cost,
// or one sheet fewer. What it lessens is the area of panels left over, and a
// plan is found when that is 0 (search.go). Where it stalls it begins anew with
// whole boards taken away. The layouts it has seen are combined by a covering
// program (combine.go).
//
// Exact search lists all sets of panels that a sheet can hold with as little
// waste as a better plan may have (Wang 1983), and divides the panels among
// such sets (exact.go; spread.go when placement is free). Up to nine copies are
// always settled by it, unless placement is free, and more when hardly any waste
// is allowed; it also proves that given sheets are too few.
//
// Free placement goes on where the plan with cuts ends, and so is never worse:
// the same ruin and recreate on boards that hold panels by their positions
// (floor.go), and exact search over all sets that a sheet can hold, decided by
// relations between pairs of panels (spread.go; Pisinger & Sigurd 2007).
//
// Lower bounds come from dual feasible functions (Fekete & Schepers 2001,
// 2004; Carlier, Clautiaux & Moukrim 2007) on both axes, for several kinds of
// sheets at once and rounded up to a sum of prices that the supplies allow.
// They are proved in integers, and the Certificate lets anyone prove them
// again.
//
// Where these leave the cost open, layouts are generated column by column with
// the guillotine knapsack (package knapsack), and the bound is raised to what
// integer prices of panels prove (generate.go). First a layout may hold a panel
// more often than it is wanted: what that proves is in the Certificate too, as a
// LayoutProof, also of costs that exact search settled. Then it may not; what a
// search for such layouts adds is not proved again, and the Certificate says only
// that more was proved than it proves.
//
// Where sheets of several kinds are few, so are the mixes of them that cost less than
// the best plan. Then all of them are tried, those with the most area to spare
// (mix.go), and one by one, the cheapest first, each is put to generated layouts with
// the mix for a supply (refute.go): the bound is the cost of the first that this does
// not refute. Where one inequality does not prove that alone, it is not proved again.
//
// # Limits
//
// Generated layouts see what guillotine cuts and stages make impossible, as far
// as their work goes, on a raster of 512 (quick), 1024 or 2048 (long) points a
// side: where sizes have more sums they are rounded down. The bounds otherwise are
// those of free placement and do not see it, and exact search ends beyond a
// dozen or two of panels where waste is plenty: a plan can be optimal without
// being proven so. Copies are placed one by one, at most 32768 of them; a kind
// of panel wanted in thousands is better served by generated layouts. More than
// a thousand copies, placed freely, keep the plan with cuts. Lengths of sheets end
// at 2³⁰ units, prices at 2⁴⁰.
//
// Sources: S. P. Fekete & J. Schepers, "New classes of fast lower bounds for
// bin packing problems", Mathematical Programming 91 (2001) 11–31; the same,
// "A general framework for bounds for higher-dimensional orthogonal packing
// problems", Mathematical Methods of Operations Research 60 (2004) 311–329;
// J. Carlier, F. Clautiaux & A. Moukrim, "New reduction procedures and lower
// bounds for the two-dimensional bin packing problem with fixed orientation",
// Computers & Operations Research 34 (2007) 2223–2250; P. Y. Wang, "Two
// algorithms for constrained two-dimensional cutting stock problems",
// Operations Research 31 (1983) 573–586; D. Pisinger & M. Sigurd, "Using
// decomposition techniques and constraint programming for solving the two-
// dimensional bin-packing problem", INFORMS Journal on Computing 19 (2007)
// 36–51; G. Schrimpf et al., "Record breaking optimization results using the
// ruin and recreate principle", Journal of Computational Physics 159 (2000)
// 139–171; E. K. Burke & Y. Bykov, "The late acceptance hill-climbing
// heuristic", European Journal of Operational Research 258 (2017) 70–78.
package nest2d
