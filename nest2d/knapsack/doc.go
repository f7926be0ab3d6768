// Package knapsack cuts the panels of greatest total value from one rectangle
// by cuts that run from edge to edge (the two-dimensional guillotine knapsack).
//
// # Without limits on copies
//
// The best value F(x, y) of a rectangle x × y follows from those of smaller
// ones (Gilmore & Gomory 1966), and only at sizes that are sums of panels'
// sizes (Herz 1972; Beasley 1985; Cintra et al. 2008). Sizes are grown by one
// kerf, after which cuts have no width.
//
// A row of parts side by side never needs a part that is itself such a row, so
// a part counts only if its best value is out of reach for every row: then it
// is called essential. The recursion goes over essential parts alone, which are
// few, instead of over all positions of a cut.
//
// With stages limited the values form one table for each stage left and
// direction, each a one-dimensional knapsack over the strips of the table
// before (Gilmore & Gomory 1965).
//
// # With limits on copies
//
// The limits are relaxed and each copy pays a price instead (Lagrange
// multipliers; the state-space relaxation of Christofides & Hadjiconstantinou
// 1995 is strengthened in the same way). For every price vector the value of
// the recursion, plus prices times limits, is an upper bound. Layouts of the
// recursion, with the copies beyond the limits taken out, are the first
// solutions.
//
// The rest is enumeration: rectangles are built from pairs of smaller ones
// (Wang 1983), each kept only if its priced value together with the best of
// what can be cut around it (Viswanathan & Bagchi 1993) reaches a target. The
// target starts at the upper bound and is lowered until a layout reaches it; a
// target no layout reaches lowers the upper bound. With stages limited a rectangle
// also has a number of stages, and one takes the place of another of the same panels
// only if it needs no more of them.
//
// Sources: P. C. Gilmore & R. E. Gomory, "Multistage cutting stock problems of
// two and more dimensions", Operations Research 13 (1965) 94–120; the same,
// "The theory and computation of knapsack functions", Operations Research 14
// (1966) 1045–1074; J. C. Herz, "Recursive computational procedure for
// two-dimensional stock cutting", IBM Journal of Research and Development 16
// (1972) 462–469; J. E. Beasley, "Algorithms for unconstrained two-dimensional
// guillotine cutting", Journal of the Operational Research Society 36 (1985)
// 297–306; G. F. Cintra, F. K. Miyazawa, Y. Wakabayashi & E. C. Xavier,
// "Algorithms for two-dimensional cutting stock and strip packing problems
// using dynamic programming and column generation", European Journal of
// Operational Research 191 (2008) 61–85; P. Y. Wang, "Two algorithms for
// constrained two-dimensional cutting stock problems", Operations Research 31
// (1983) 573–586; K. V. Viswanathan & A. Bagchi, "Best-first search methods for
// constrained two-dimensional cutting stock problems", Operations Research 41
// (1993) 768–776; N. Christofides & E. Hadjiconstantinou, "An exact algorithm
// for orthogonal 2-D cutting problems using guillotine cuts", European Journal
// of Operational Research 83 (1995) 21–38.
package knapsack
