package summary

import "quoin/impose/summary/schema"

// JSONSchema returns the summary's JSON Schema (draft 2020-12).
func JSONSchema() []byte { return schema.JSON() }
