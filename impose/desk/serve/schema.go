package serve

import (
	_ "embed"
	"net/http"
)

// schemaFile is the JSON Schema (draft 2020-12) of all that the desk answers.
//
//go:embed schema/desk.schema.json
var schemaFile []byte

func schemaRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /schema", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/schema+json")
		w.Write(schemaFile)
	})
}
