// Package filter undoes the stream filters of PDF (ISO 32000-1, 7.4), except
// the image codecs.
//
// All decoders forgive damage: they return what could be decoded and then end
// as if that were all. Only data of which nothing could be decoded is an
// error.
package filter

import (
	"fmt"
	"io"
)

// Params are the decoding parameters of Flate and LZW (Table 8).
type Params struct {
	Predictor        int
	Colors           int
	BitsPerComponent int
	Columns          int
	EarlyChange      int

	// Stored is how many bytes there are to decode, as far as that is known: of many,
	// Flate takes more at a time.
	Stored int64
	// Damaged, if set, is told why data end before they should.
	Damaged func(error)
}

// DefaultParams holds the defaults of Table 8.
var DefaultParams = Params{Predictor: 1, Colors: 1, BitsPerComponent: 8, Columns: 1, EarlyChange: 1}

var fullNames = map[string]string{
	"AHx": "ASCIIHexDecode",
	"A85": "ASCII85Decode",
	"LZW": "LZWDecode",
	"Fl":  "FlateDecode",
	"RL":  "RunLengthDecode",
	"CCF": "CCITTFaxDecode",
	"DCT": "DCTDecode",
}

// FullName returns the full name of a filter that inline images abbreviate
// (Table 94).
func FullName(name string) string {
	if full, ok := fullNames[name]; ok {
		return full
	}
	return name
}

// IsImage reports whether the filter is an image codec.
func IsImage(name string) bool {
	switch FullName(name) {
	case "DCTDecode", "JPXDecode", "JBIG2Decode", "CCITTFaxDecode":
		return true
	}
	return false
}

// Decode undoes the named filter. It fails if there is no such filter or if
// the parameters make no sense.
func Decode(r io.Reader, name string, p Params) (io.Reader, error) {
	switch FullName(name) {
	case "FlateDecode":
		return unpredict(newFlate(r, p), p)
	case "LZWDecode":
		return unpredict(newLZW(r, p.EarlyChange, p.Damaged), p)
	case "ASCIIHexDecode":
		return newASCIIHex(r), nil
	case "ASCII85Decode":
		return newASCII85(r), nil
	case "RunLengthDecode":
		return newRunLength(r), nil
	case "Crypt":
		return r, nil // undone before, or the identity
	}
	return nil, fmt.Errorf("unknown stream filter %q", name)
}

// lenient ends the data quietly at the first damage after some good bytes.
type lenient struct {
	r    io.Reader
	src  *sourceErr
	some bool
	tell func(error)
}

func (l *lenient) Read(p []byte) (int, error) {
	n, err := l.r.Read(p)
	l.some = l.some || n > 0
	if err != nil && err != io.EOF {
		if l.src.err != nil {
			return n, l.src.err // the source failed, not the data
		}
		if l.some {
			if l.tell != nil && !(err == io.ErrUnexpectedEOF && l.src.flushed()) {
				l.tell(err)
			}
			err = io.EOF
		}
	}
	return n, err
}

// sourceErr remembers why a source failed, which decoders tend to wrap.
type sourceErr struct {
	r    io.Reader
	err  error
	tail []byte // the last bytes read
}

// flushed reports whether the data end with the empty block that a writer puts
// out when it flushes (RFC 1951 3.2.4): some never write the final one, and
// nothing is missing.
func (s *sourceErr) flushed() bool { return string(s.tail) == "\x00\x00\xff\xff" }

func (s *sourceErr) Read(p []byte) (int, error) {
	n, err := s.r.Read(p)
	if err != nil && err != io.EOF && s.err == nil {
		s.err = err
	}
	s.tail = append(s.tail, p[max(0, n-4):n]...)
	s.tail = s.tail[max(0, len(s.tail)-4):]
	return n, err
}
