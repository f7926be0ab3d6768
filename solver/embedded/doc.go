// Package embedded solves linear programs by the simplex method in pure Go.
//
// # Problem and method
//
// The model is minimise c·x with bounds on columns and rows. Each row i gets
// a variable rᵢ, its activity, and the equation aᵢ·x − rᵢ = 0; all bounds are
// then bounds on variables and the right-hand side is zero. A basis names m
// of the n + m variables; the others rest on one of their bounds.
//
// The engine is the bounded-variable revised simplex method (Dantzig & Orchard-Hays
// 1954), primal and dual, over one sparse LU factorisation of the basis:
//
//   - model.go holds the model, scale.go its scaling by powers of two;
//   - factor.go factorises (Markowitz, with singletons first), and
//     factor_solve.go solves and updates (Forrest–Tomlin);
//   - primal.go is the primal method: phase 1 as a sum of violations, Harris
//     ratio test, devex pricing. It is what added columns need;
//   - dual.go is the dual method: steepest edge, bound flipping, Harris. It
//     is what changed bounds and added rows need;
//   - perturb.go keeps both from stalling on degenerate vertices;
//   - proof.go checks the equation that proves infeasibility;
//   - solve.go chooses: a violated basis with reduced costs of the right
//     signs goes to the dual method, any other to the primal one. When a
//     method ends, perturbations are removed, everything is recomputed from
//     fresh factors, and the choice is made again until nothing is left to do.
//
// # Why not something simpler
//
// A dense inverse serves as well up to some 200 rows, and costs m² a step.
// The factors cost what the non-zeros cost, which for cutting-stock masters is
// a few entries a column, and they carry the published test sets, whose
// bases are large and badly scaled: the only tests of a simplex code that say
// much.
//
// # Invariants
//
// head and at are inverse to each other; x of a non-basic variable is exactly
// a working bound (or zero); Optimal is returned only when x and d, recomputed
// from factors without updates and with the bounds and costs as given, are
// within the tolerances. Infeasible is returned only with a proof, Unbounded
// only from a feasible point. When that cannot be had, the answer is Failed.
//
// # Determinism
//
// There is no clock, no map iteration and no randomness but a hash of the
// variable's number. Products are rounded before they are added, by an
// explicit conversion, so that a compiler that fuses multiply and add gives
// the same bytes.
//
// # Cost
//
// An iteration takes two or three solves with the factors and one pass over
// the rows that the pivot row's multipliers touch. Memory is proportional to
// the non-zeros of the model and of the factors.
package embedded
