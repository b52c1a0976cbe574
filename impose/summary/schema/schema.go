// Package schema holds the summary's JSON Schema, which those who read a summary
// need without those who write it.
package schema

import _ "embed"

//go:embed summary.schema.json
var file []byte

// JSON returns the schema (draft 2020-12).
func JSON() []byte { return file }
