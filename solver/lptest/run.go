// Package lptest holds the tests that every engine of package solver must
// pass, and the readers and checks they need.
package lptest

import (
	"testing"

	"sawbill/solver"
)

// Run runs the whole suite on e.
func Run(t *testing.T, e solver.Engine) {
	t.Run("textbooks", func(t *testing.T) { runTextbooks(t, e) })
	t.Run("Klee–Minty", func(t *testing.T) { runKleeMinty(t, e) })
	t.Run("cutting stock", func(t *testing.T) { runCuttingStock(t, e) })
	t.Run("column generation", func(t *testing.T) { runColumnGeneration(t, e) })
	t.Run("interface", func(t *testing.T) { runInterface(t, e) })
	t.Run("enumeration", func(t *testing.T) { runEnumeration(t, e) })
	t.Run("warm starts", func(t *testing.T) { runWarmStarts(t, e) })
	t.Run("random", func(t *testing.T) { runRandom(t, e) })
	t.Run("exact", func(t *testing.T) { runExact(t, e) })
	t.Run("gonum", func(t *testing.T) { runGonum(t, e) })
}
