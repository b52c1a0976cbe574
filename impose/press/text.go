package press

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"

	"quoin/impose/pdfobj"
)

func bytesReader(b []byte) io.Reader { return bytes.NewReader(b) }
func newline() io.Reader             { return strings.NewReader("\n") }

// textString writes text as PDF's text string (ISO 32000-1 7.9.2.2): plain
// where ASCII will do, UTF-16 with its mark otherwise.
func textString(s string) pdfobj.String {
	ascii := true
	for _, r := range s {
		ascii = ascii && r >= ' ' && r < 0x7f
	}
	if ascii {
		return pdfobj.String(s)
	}
	b := []byte{0xfe, 0xff}
	for _, u := range utf16.Encode([]rune(s)) {
		b = append(b, byte(u>>8), byte(u))
	}
	return pdfobj.String(b)
}

// numbers writes values that come from the artwork, and are kept as they are.
func numbers(values ...float64) pdfobj.Array {
	a := make(pdfobj.Array, len(values))
	for i, v := range values {
		a[i] = pdfobj.Real(v)
	}
	return a
}

// copyDict copies a dictionary of the artwork; nothing becomes an empty one.
func copyDict(c *pdfobj.Copier, o pdfobj.Object) (pdfobj.Object, error) {
	if o == nil {
		return pdfobj.Dict{}, nil
	}
	copied, err := c.Copy(o)
	if err != nil {
		return nil, err
	}
	switch copied.(type) {
	case pdfobj.Dict, pdfobj.Ref:
		return copied, nil
	}
	return nil, fmt.Errorf("a dictionary was expected, a %T stands there", copied)
}
