package embedded_test

import (
	"testing"

	"sawbill/solver/embedded"
	"sawbill/solver/lptest"
)

func TestNetlib(t *testing.T) { lptest.Netlib(t, embedded.Engine{}) }
