//go:build glpk

package glpk_test

import (
	"testing"

	"sawbill/solver/glpk"
	"sawbill/solver/lptest"
)

func TestEngine(t *testing.T) { lptest.Run(t, glpk.Engine{}) }
func TestNetlib(t *testing.T) { lptest.Netlib(t, glpk.Engine{}) }
