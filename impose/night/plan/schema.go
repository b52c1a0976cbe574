package plan

import (
	_ "embed"
)

//go:embed schema/plan.schema.json
var schemaFile []byte

// JSONSchema gives the plan's JSON Schema (draft 2020-12).
func JSONSchema() []byte { return schemaFile }
