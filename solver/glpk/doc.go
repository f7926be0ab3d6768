// Package glpk solves linear programs with the GNU Linear Programming Kit,
// behind the build tag glpk. Without the tag the package is empty.
//
// It stands beside solver/embedded as a second opinion: both engines pass the
// same tests. GLPK is under the GNU General Public License, and so is a
// binary built with this tag.
//
// GLPK 5.0 keeps its environment in thread-local storage and aborts when a
// model is touched from another thread than the one that made it. Every model
// therefore lives on a goroutine of its own, locked to its thread, that
// serves the calls; callers may move between goroutines freely, but must call
// Close to end it.
package glpk
