package summary

import _ "embed"

//go:embed schema/summary.schema.json
var schemaFile []byte

// JSONSchema returns the summary's JSON Schema (draft 2020-12).
func JSONSchema() []byte { return schemaFile }
