package press

import (
	"bytes"
	"fmt"
	"unicode/utf16"

	"quoin/impose/pdfobj"
)

// putStream writes a stream of its own number, compressed where that is wanted.
func putStream(out *pdfobj.Writer, dict pdfobj.Dict, content []byte, compress bool) (pdfobj.Ref, error) {
	ref := out.Alloc()
	return ref, fillStream(out, ref, dict, content, compress)
}

// fillStream is putStream under a number that is given already.
func fillStream(out *pdfobj.Writer, ref pdfobj.Ref, dict pdfobj.Dict, content []byte, compress bool) error {
	return out.PutStream(ref, dict, bytes.NewReader(content), int64(len(content)), compress)
}

// put writes an object of its own number.
func put(out *pdfobj.Writer, o pdfobj.Object) (pdfobj.Ref, error) {
	ref := out.Alloc()
	return ref, out.Put(ref, o)
}

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
