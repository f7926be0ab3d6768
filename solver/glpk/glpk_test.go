//go:build glpk

package glpk_test

import (
	"testing"

	"sawbill/solver/glpk"
	"sawbill/solver/lptest"
)

func TestNetlib(t *testing.T) { lptest.Netlib(t, glpk.Engine{}) }
