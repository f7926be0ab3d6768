package job

import (
	_ "embed"
	"slices"
)

//go:embed job.schema.json
var schemaText []byte

// Schema is the JSON Schema (draft 2020-12) of job.toml, for editors that
// complete and check keys while typing. It knows shapes only; Read knows more.
func Schema() []byte { return slices.Clone(schemaText) }
