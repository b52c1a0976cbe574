package filter

import (
	"fmt"
	"io"
)

// maxRow bounds a row of samples, which is held in memory twice.
const maxRow = 16 << 20

// unpredict undoes the predictor of Flate and LZW (7.4.4.4).
func unpredict(r io.Reader, p Params) (io.Reader, error) {
	if p.Predictor <= 1 {
		return r, nil
	}
	if p.Predictor != 2 && (p.Predictor < 10 || p.Predictor > 15) {
		return nil, fmt.Errorf("%w: predictor %d", errParams, p.Predictor)
	}
	switch p.BitsPerComponent {
	case 1, 2, 4, 8, 16:
	default:
		return nil, fmt.Errorf("%w: %d bits per component", errParams, p.BitsPerComponent)
	}
	if p.Colors < 1 || p.Columns < 1 || p.Colors > maxRow || p.Columns > maxRow {
		return nil, fmt.Errorf("%w: %d columns of %d colours", errParams, p.Columns, p.Colors)
	}
	row := (int64(p.Colors)*int64(p.BitsPerComponent)*int64(p.Columns) + 7) / 8
	if row > maxRow {
		return nil, fmt.Errorf("%w: rows of %d bytes", errParams, row)
	}
	u := &unpredictor{r: r, params: p, bytes: (p.Colors*p.BitsPerComponent + 7) / 8}
	u.row = make([]byte, row)
	if p.Predictor >= 10 {
		u.prior = make([]byte, row)
	}
	return u, nil
}

type unpredictor struct {
	r          io.Reader
	params     Params
	bytes      int // of a whole pixel, at least 1
	row, prior []byte
	ready      []byte // decoded and not yet read
	err        error
}

func (u *unpredictor) Read(p []byte) (int, error) {
	for len(u.ready) == 0 {
		if u.err != nil {
			return 0, u.err
		}
		u.fill()
	}
	n := copy(p, u.ready)
	u.ready = u.ready[n:]
	return n, nil
}

// fill decodes one row; a row cut short is decoded as far as it goes.
func (u *unpredictor) fill() {
	tag := byte(0)
	if u.prior != nil {
		var head [1]byte
		if _, u.err = io.ReadFull(u.r, head[:]); u.err != nil {
			return
		}
		tag = head[0]
		u.row, u.prior = u.prior, u.row
	}
	n, err := io.ReadFull(u.r, u.row)
	if err == io.ErrUnexpectedEOF {
		err = io.EOF
	}
	u.err = err
	if n == 0 {
		return
	}
	clear(u.row[n:])
	if u.prior != nil {
		unfilterPNG(tag, u.row, u.prior, u.bytes)
	} else {
		unfilterTIFF(u.row, u.params)
	}
	u.ready = u.row[:n]
}

// unfilterPNG undoes the filter of one row (PNG, 9.2). Unknown tags leave it
// as it is.
func unfilterPNG(tag byte, row, prior []byte, bytes int) {
	switch tag {
	case 1:
		for i := bytes; i < len(row); i++ {
			row[i] += row[i-bytes]
		}
	case 2:
		for i := range row {
			row[i] += prior[i]
		}
	case 3:
		for i := range row {
			left := 0
			if i >= bytes {
				left = int(row[i-bytes])
			}
			row[i] += byte((left + int(prior[i])) / 2)
		}
	case 4:
		for i := range row {
			var left, upperLeft byte
			if i >= bytes {
				left, upperLeft = row[i-bytes], prior[i-bytes]
			}
			row[i] += paeth(left, prior[i], upperLeft)
		}
	}
}

func paeth(a, b, c byte) byte {
	p := int(a) + int(b) - int(c)
	pa, pb, pc := abs(p-int(a)), abs(p-int(b)), abs(p-int(c))
	switch {
	case pa <= pb && pa <= pc:
		return a
	case pb <= pc:
		return b
	}
	return c
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

// unfilterTIFF undoes horizontal differencing (TIFF 6.0, section 14) for any
// number of bits per component.
func unfilterTIFF(row []byte, p Params) {
	switch p.BitsPerComponent {
	case 8:
		for i := p.Colors; i < len(row); i++ {
			row[i] += row[i-p.Colors]
		}
	case 16:
		for i := 2 * p.Colors; i+1 < len(row); i += 2 {
			v := be16(row[i:]) + be16(row[i-2*p.Colors:])
			row[i], row[i+1] = byte(v>>8), byte(v)
		}
	default:
		bits := p.BitsPerComponent
		mask := byte(1<<bits - 1)
		samples := len(row) * 8 / bits
		for i := p.Colors; i < samples; i++ {
			j := i - p.Colors
			shift := 8 - bits - i*bits%8
			before := row[j*bits/8] >> (8 - bits - j*bits%8) & mask
			v := (row[i*bits/8]>>shift + before) & mask
			row[i*bits/8] = row[i*bits/8]&^(mask<<shift) | v<<shift
		}
	}
}

func be16(b []byte) uint16 { return uint16(b[0])<<8 | uint16(b[1]) }
