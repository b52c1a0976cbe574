package say

import (
	"encoding/json"
	"io"
)

// JSON writes any result as all of quoin does: indented, and with <, > and & as
// they are.
func JSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}
