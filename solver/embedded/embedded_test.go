package embedded_test

import (
	"testing"

	"sawbill/solver/embedded"
	"sawbill/solver/lptest"
)

func TestEngine(t *testing.T) { lptest.Run(t, embedded.Engine{}) }
func TestNetlib(t *testing.T) { lptest.Netlib(t, embedded.Engine{}) }
