// Package truth holds the tests that compare whole purchases with an optimum
// worked out from outside: every way to fill a bar or a sheet is listed by
// plain enumeration, and the least total is found twice, by a programme in
// GNU MathProg that glpsol solves and by brute force. Nothing of the planner,
// the purchase or the engines is used for either. It has no code but its tests.
package truth
