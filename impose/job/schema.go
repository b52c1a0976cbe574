package job

import (
	"embed"
	"io/fs"
)

//go:embed schema
var schemaFiles embed.FS

// Schemas returns the JSON Schemas (draft 2020-12) of the files: job, press, dies
// and orders, each as NAME.schema.json, and common.schema.json, which they
// refer to. What a reader accepts, its schema accepts. A schema can't compare
// lengths, so that the readers refuse more.
func Schemas() fs.FS {
	sub, err := fs.Sub(schemaFiles, "schema")
	if err != nil {
		panic(err) // the folder is built in
	}
	return sub
}
