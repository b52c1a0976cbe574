package barcode

import (
	"sync"
	"unicode/utf8"

	"github.com/makiuchi-d/gozxing/datamatrix/encoder"

	"quoin/impose/say"
)

// matrixSize is a Data Matrix ECC 200 (ISO/IEC 16022 table 7): modules down and
// across, regions down and across, data and check codewords, blocks.
type matrixSize struct{ rows, cols, down, across, data, checks, blocks int }

// matrixSizes has the square ones first. The 144 x 144 symbol is left out: its
// blocks differ in length, readers disagree on their order, and no label holds
// 1304 codewords.
var matrixSizes = func() (list []matrixSize) {
	for _, s := range [][5]int{
		{10, 1, 3, 5, 1}, {12, 1, 5, 7, 1}, {14, 1, 8, 10, 1}, {16, 1, 12, 12, 1}, {18, 1, 18, 14, 1},
		{20, 1, 22, 18, 1}, {22, 1, 30, 20, 1}, {24, 1, 36, 24, 1}, {26, 1, 44, 28, 1},
		{32, 2, 62, 36, 1}, {36, 2, 86, 42, 1}, {40, 2, 114, 48, 1}, {44, 2, 144, 56, 1}, {48, 2, 174, 68, 1},
		{52, 2, 204, 84, 2}, {64, 4, 280, 112, 2}, {72, 4, 368, 144, 4}, {80, 4, 456, 192, 4}, {88, 4, 576, 224, 4},
		{96, 4, 696, 272, 4}, {104, 4, 816, 336, 6}, {120, 6, 1050, 408, 6}, {132, 6, 1304, 496, 8},
	} {
		list = append(list, matrixSize{s[0], s[0], s[1], s[1], s[2], s[3], s[4]})
	}
	return append(list,
		matrixSize{8, 18, 1, 1, 5, 7, 1}, matrixSize{8, 32, 1, 2, 10, 11, 1}, matrixSize{12, 26, 1, 1, 16, 14, 1},
		matrixSize{12, 36, 1, 2, 22, 18, 1}, matrixSize{16, 36, 1, 2, 32, 24, 1}, matrixSize{16, 48, 1, 2, 49, 28, 1})
}()

// matrixBench is the memory that one Data Matrix after another is made in.
type matrixBench struct {
	cells    []matrixCell
	segments []matrixSegment
}

// encodeMatrix makes a Data Matrix ECC 200. Text beyond ASCII is
// announced as UTF-8, because plain bytes mean ISO 8859-1; bytes that are no
// UTF-8 are written as they are.
func (e *Encoder) encodeMatrix(data []byte, gs1 bool) error {
	index, err := e.planMatrix(data, gs1)
	if err != nil {
		return err
	}
	size := matrixSizes[index]
	e.words = appendMatrixChecks(padMatrix(e.words, size.data), size)
	e.symbol.Grid.placeMatrix(e.words, index)
	return nil
}

// planMatrix leaves the data's codewords in words and gives the size that
// holds them.
func (e *Encoder) planMatrix(data []byte, gs1 bool) (int, error) {
	words := e.words[:0]
	switch {
	case gs1:
		words = append(words, matrixFNC1)
	case beyondASCII(data) && utf8.Valid(data):
		words = append(words, 241, 26+1) // ECI 000026
	}
	e.words = e.matrix.write(words, data, gs1)
	for i, size := range matrixSizes {
		square := size.rows == size.cols
		if square != e.options.Rectangular && size.data >= len(e.words) && (!square || size.cols >= e.options.Least) && size.rows*size.cols >= e.least.Across*e.least.Down {
			return i, nil
		}
	}
	return 0, say.Refuse(say.Failed, "shorten the value", "%d bytes are more than a Data Matrix holds", len(data))
}

// padMatrix fills up with pads, all but the first made to look random
// (ISO/IEC 16022 5.2.3 and annex B.1).
func padMatrix(words []byte, to int) []byte {
	if len(words) < to {
		words = append(words, 129)
	}
	for len(words) < to {
		v := 129 + 149*(len(words)+1)%253 + 1
		if v > 254 {
			v -= 254
		}
		words = append(words, byte(v))
	}
	return words
}

// appendMatrixChecks adds the check codewords; blocks take data and check
// codewords in turn (ISO/IEC 16022 5.7.2).
func appendMatrixChecks(words []byte, size matrixSize) []byte {
	n := len(words)
	words = append(words, make([]byte, size.checks)...)
	var block [1304]byte
	var checks [mostChecks]byte
	code := matrixCodes.of(size.checks / size.blocks)
	for b := range size.blocks {
		part := block[:0]
		for i := b; i < n; i += size.blocks {
			part = append(part, words[i])
		}
		for i, c := range code.append(checks[:0], part) {
			words[n+b+i*size.blocks] = c
		}
	}
	return words
}

// matrixMap says where on a symbol of one size each bit stands.
type matrixMap struct {
	fixed Grid
	at    [][2]uint8 // column and row of each bit, the highest of each codeword first
}

var matrixMaps [32]struct {
	once sync.Once
	made *matrixMap
}

func (g *Grid) placeMatrix(words []byte, index int) {
	m := &matrixMaps[index]
	m.once.Do(func() { m.made = newMatrixMap(matrixSizes[index]) })
	g.reset(m.made.fixed.Cols, m.made.fixed.Rows)
	copy(g.bits, m.made.fixed.bits)
	for i, at := range m.made.at {
		if words[i>>3]>>(7-i&7)&1 == 1 {
			g.set(int(at[0]), int(at[1]))
		}
	}
}

// newMatrixMap draws each region's finder, solid at left and foot, dotted at
// top and right, and lays the codewords over the regions as if they were one.
func newMatrixMap(size matrixSize) *matrixMap {
	m := &matrixMap{}
	m.fixed.reset(size.cols, size.rows)
	high, wide := size.rows/size.down, size.cols/size.across
	for row := range size.rows {
		for r := range size.across {
			m.fixed.set(r*wide, row)
			if row%2 == 1 {
				m.fixed.set(r*wide+wide-1, row)
			}
		}
	}
	for col := range size.cols {
		for r := range size.down {
			m.fixed.set(col, r*high+high-1)
			if col%2 == 0 {
				m.fixed.set(col, r*high)
			}
		}
	}
	outer := func(v, region int) uint8 { return uint8(v/(region-2)*region + v%(region-2) + 1) }
	rows, cols := (high-2)*size.down, (wide-2)*size.across
	count := 8 * (size.data + size.checks)
	m.at = make([][2]uint8, count)
	for i, bit := range bitsOf(rows, cols, count) {
		col, row := outer(i%cols, wide), outer(i/cols, high)
		switch {
		case bit > count:
			m.fixed.set(int(col), int(row))
		case bit > 0:
			m.at[bit-1] = [2]uint8{col, row}
		}
	}
	return m
}

// bitsOf gives, by rows, which bit each module of the mapping matrix shows, counted
// from 1: of those left over, the light ones have 0 and the dark ones more than
// there are. The library places them (ISO/IEC 16022 annex F), and says so where the
// codewords are such that each bit has one digit of its own number, digit by digit.
func bitsOf(rows, cols, count int) []int {
	bits := make([]int, rows*cols)
	for digit := 1; digit <= count; digit <<= 1 {
		words := make([]byte, count/8)
		for i := range count {
			if (i+1)&digit != 0 {
				words[i>>3] |= 0x80 >> (i & 7)
			}
		}
		placed := encoder.NewDefaultPlacement(words, cols, rows)
		placed.Place()
		for i := range bits {
			if placed.GetBit(i%cols, i/cols) {
				bits[i] |= digit
			}
		}
	}
	return bits
}
