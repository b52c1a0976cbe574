package barcode

// Grid holds the dark modules of a matrix symbol. Column 0 is at the left and
// row 0 at the top of the upright symbol.
//
// Each column stands in whole words, row 0 in the lowest bit, with one word of
// zeros behind it, so that shifts across words need no special case.
type Grid struct {
	Cols, Rows int
	bits       []uint64
}

// stride returns the words of one line of n modules.
func stride(n int) int { return (n+63)/64 + 1 }

// reset makes the grid all light.
func (g *Grid) reset(cols, rows int) {
	g.Cols, g.Rows = cols, rows
	n := cols * stride(rows)
	if cap(g.bits) < n {
		g.bits = make([]uint64, n)
	}
	g.bits = g.bits[:n]
	clear(g.bits)
}

// Dark reports whether the module is dark.
func (g *Grid) Dark(col, row int) bool {
	return g.bits[col*stride(g.Rows)+row>>6]>>(row&63)&1 == 1
}

// set makes a module dark.
func (g *Grid) set(col, row int) { g.bits[col*stride(g.Rows)+row>>6] |= 1 << (row & 63) }

// strip returns eight modules of a column, those from row 8 n on, the first in
// the lowest bit; rows beyond the last are light.
func (g *Grid) strip(col, n int) byte {
	return byte(g.bits[col*stride(g.Rows)+n>>3] >> (n & 7 * 8))
}

// appendColumns adds the strips of each eight rows, from left to right.
func (g *Grid) appendColumns(dst []byte) []byte {
	for n := range (g.Rows + 7) / 8 {
		for col := range g.Cols {
			dst = append(dst, g.strip(col, n))
		}
	}
	return dst
}

// appendRows adds each row, eight modules in a byte, the leftmost in the lowest
// bit.
func (g *Grid) appendRows(dst []byte) []byte {
	wide := (g.Cols + 7) / 8
	from := len(dst)
	for range g.Rows * wide {
		dst = append(dst, 0)
	}
	for n := range (g.Rows + 7) / 8 {
		for i := range wide {
			block := uint64(0)
			for j := range min(8, g.Cols-8*i) {
				block |= uint64(g.strip(8*i+j, n)) << (8 * j)
			}
			block = transposed(block)
			for row := 8 * n; row < min(8*n+8, g.Rows); row++ {
				dst[from+row*wide+i] = byte(block >> (row & 7 * 8))
			}
		}
	}
	return dst
}

// transposed exchanges rows and columns of an 8 by 8 block of bits: it swaps
// across the diagonal by ones, twos and fours (H. S. Warren, Hacker's Delight,
// 7-3).
func transposed(x uint64) uint64 {
	t := (x ^ x>>7) & 0x00aa00aa00aa00aa
	x ^= t ^ t<<7
	t = (x ^ x>>14) & 0x0000cccc0000cccc
	x ^= t ^ t<<14
	t = (x ^ x>>28) & 0x00000000f0f0f0f0
	return x ^ t ^ t<<28
}
