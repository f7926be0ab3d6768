package plan

import (
	_ "embed"
	"slices"
)

//go:embed plan.schema.json
var schemaText []byte

// Schema is the JSON Schema (draft 2020-12) of what Encode writes. It knows
// shapes and units only; plan/check knows what is true.
func Schema() []byte { return slices.Clone(schemaText) }
