package contour

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"strings"

	"golang.org/x/text/encoding/unicode"
	text "golang.org/x/text/transform"
)

// foreign are the first bytes of files that are no text drawing, and what to do
// about them. Sources: ISO 32000-2 7.5.2 (PDF), APPNOTE 4.3.7 (zip); DWG and
// binary DXF from memory.
var foreign = []struct{ magic, text, way string }{
	{"AutoCAD Binary DXF", "the file is a binary DXF", "save it as a text (ASCII) DXF, best of release R12"},
	{"AC10", "the file is a DWG", "save it as a DXF, best of release R12"},
	{"%PDF-", "the file is a PDF", "export the cut as SVG or DXF; a PDF's own die line is read with the outline artwork"},
	{"%!PS", "the file is PostScript", "export the cut as SVG or DXF"},
	{"PK\x03\x04", "the file is a zip archive", "unpack it, and name the drawing in it"},
	{"\x89PNG", "the file is a picture", "draw the cut as lines and arcs, and export it as SVG or DXF"},
	{"\xff\xd8\xff", "the file is a picture", "draw the cut as lines and arcs, and export it as SVG or DXF"},
}

// plainText returns a file's text: UTF-16 with its mark is turned into UTF-8, the
// mark of UTF-8 is dropped, and what gzip packed is unpacked. All else is as it
// is. Files that are no text are refused by what they are.
func plainText(r io.Reader) (io.Reader, error) {
	buf := bufio.NewReader(r)
	head, _ := buf.Peek(22)
	if bytes.HasPrefix(head, []byte{0x1f, 0x8b}) {
		z, err := gzip.NewReader(buf)
		if err != nil {
			return nil, refuse(0, "copy or export it again", "the file is packed by gzip, and damaged: %v", err)
		}
		buf = bufio.NewReader(z)
		head, _ = buf.Peek(22)
	}
	for _, f := range foreign {
		if strings.HasPrefix(string(head), f.magic) {
			return nil, refuse(1, f.way, "%s", f.text)
		}
	}
	decoder := unicode.BOMOverride(text.Nop)
	switch {
	case len(head) > 3 && head[0] == '<' && head[1] == 0 && head[3] == 0:
		decoder = unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM).NewDecoder()
	case len(head) > 3 && head[0] == 0 && head[1] == '<' && head[2] == 0:
		decoder = unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM).NewDecoder()
	}
	return text.NewReader(buf, decoder), nil
}

// unpacking tells a damaged packed file from others.
func unpacking(err error) error {
	if errors.Is(err, gzip.ErrChecksum) || errors.Is(err, gzip.ErrHeader) || errors.Is(err, io.ErrUnexpectedEOF) {
		return refuse(0, "copy or export it again", "the file is packed by gzip, and damaged: %v", err)
	}
	return fmt.Errorf("reading the drawing: %w", err)
}
