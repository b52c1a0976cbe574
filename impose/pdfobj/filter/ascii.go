package filter

import (
	"bufio"
	"io"
)

// byteDecoder turns a function that appends some decoded bytes at a time into
// a reader. The function returns io.EOF with or after the last of them.
type byteDecoder struct {
	src  *bufio.Reader
	step func(src *bufio.Reader, out []byte) ([]byte, error)
	out  []byte
	next int
	err  error
}

func (d *byteDecoder) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) {
		if d.next == len(d.out) {
			if d.err != nil {
				break
			}
			d.out, d.err = d.step(d.src, d.out[:0])
			d.next = 0
			continue
		}
		c := copy(p[n:], d.out[d.next:])
		d.next += c
		n += c
	}
	if n == 0 && len(p) > 0 {
		return 0, d.err
	}
	return n, nil
}

// newASCIIHex undoes ASCIIHexDecode (7.4.2); what is no digit is skipped.
func newASCIIHex(r io.Reader) io.Reader {
	return &byteDecoder{src: bufio.NewReader(r), step: func(src *bufio.Reader, out []byte) ([]byte, error) {
		var v byte
		for digits := 0; digits < 2; {
			b, err := src.ReadByte()
			if err == nil && b == '>' {
				err = io.EOF
			}
			if err != nil {
				if digits == 1 {
					out = append(out, v<<4)
				}
				return out, err
			}
			if d, ok := Unhex(b); ok {
				v = v<<4 | d
				digits++
			}
		}
		return append(out, v), nil
	}}
}

// Unhex returns the value of a hexadecimal digit.
func Unhex(b byte) (byte, bool) {
	switch {
	case b >= '0' && b <= '9':
		return b - '0', true
	case b >= 'a' && b <= 'f':
		return b - 'a' + 10, true
	case b >= 'A' && b <= 'F':
		return b - 'A' + 10, true
	}
	return 0, false
}

// newASCII85 undoes ASCII85Decode (7.4.3); what is no digit is skipped.
func newASCII85(r io.Reader) io.Reader {
	return &byteDecoder{src: bufio.NewReader(r), step: func(src *bufio.Reader, out []byte) ([]byte, error) {
		var v uint32
		for digits := 0; digits < 5; {
			b, err := src.ReadByte()
			if err == nil && b == '~' {
				err = io.EOF
			}
			if err != nil {
				return ascii85Tail(out, v, digits), err
			}
			switch {
			case b == 'z' && digits == 0:
				return append(out, 0, 0, 0, 0), nil
			case b >= '!' && b <= 'u':
				v = v*85 + uint32(b-'!')
				digits++
			}
		}
		return append(out, byte(v>>24), byte(v>>16), byte(v>>8), byte(v)), nil
	}}
}

// ascii85Tail decodes a last group of fewer than five digits, as if it went
// on with the highest digit.
func ascii85Tail(out []byte, v uint32, digits int) []byte {
	if digits < 2 {
		return out
	}
	for range 5 - digits {
		v = v*85 + 84
	}
	for i := range digits - 1 {
		out = append(out, byte(v>>(24-8*i)))
	}
	return out
}

// newRunLength undoes RunLengthDecode (7.4.5).
func newRunLength(r io.Reader) io.Reader {
	return &byteDecoder{src: bufio.NewReader(r), step: func(src *bufio.Reader, out []byte) ([]byte, error) {
		n, err := src.ReadByte()
		if err != nil || n == 128 {
			return out, orEOF(err)
		}
		if n > 128 {
			b, err := src.ReadByte()
			if err != nil {
				return out, err
			}
			for range 257 - int(n) {
				out = append(out, b)
			}
			return out, nil
		}
		for range int(n) + 1 {
			b, err := src.ReadByte()
			if err != nil {
				return out, err
			}
			out = append(out, b)
		}
		return out, nil
	}}
}

func orEOF(err error) error {
	if err == nil {
		return io.EOF
	}
	return err
}
