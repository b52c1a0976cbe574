package witness

import (
	"bytes"
	"fmt"
	"os"
	"testing"
)

// Handwritten puts the bodies of objects 1, 2, 3... together into a PDF,
// object 1 being the catalog, and returns the path of the file. Use Stream
// for a body that is a stream.
func Handwritten(t testing.TB, bodies ...string) string {
	t.Helper()
	var out bytes.Buffer
	out.WriteString("%PDF-1.6\n%\xe2\xe3\xcf\xd3\n")
	offsets := make([]int, len(bodies))
	for i, body := range bodies {
		offsets[i] = out.Len()
		fmt.Fprintf(&out, "%d 0 obj\n%s\nendobj\n", i+1, body)
	}
	table := out.Len()
	fmt.Fprintf(&out, "xref\n0 %d\n0000000000 65535 f \n", len(bodies)+1)
	for _, offset := range offsets {
		fmt.Fprintf(&out, "%010d 00000 n \n", offset)
	}
	fmt.Fprintf(&out, "trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(bodies)+1, table)
	path := scratch(t, "handwritten.pdf")
	if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// Stream is the body of a stream object: dict holds the entries besides
// Length, without brackets.
func Stream(dict, data string) string {
	return fmt.Sprintf("<< %s /Length %d >>\nstream\n%s\nendstream", dict, len(data), data)
}
