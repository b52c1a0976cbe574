package barcode

import "slices"

// Grid holds the dark modules of a matrix symbol. Column 0 is at the left and
// row 0 at the top of the upright symbol.
//
// Each column stands in whole words, row 0 in the lowest bit, with one word of
// zeros behind it, so that shifts across words need no special case.
type Grid struct {
	Cols, Rows int
	bits       []uint64
}

// stride gives the words of one line of n modules.
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

// Dark tells whether the module is dark.
func (g *Grid) Dark(col, row int) bool {
	return g.bits[col*stride(g.Rows)+row>>6]>>(row&63)&1 == 1
}

// set makes a module dark.
func (g *Grid) set(col, row int) { g.bits[col*stride(g.Rows)+row>>6] |= 1 << (row & 63) }

// Strip gives eight modules of a column, those from row 8 n on, the first in
// the lowest bit; rows beyond the last are light.
func (g *Grid) Strip(col, n int) byte {
	return byte(g.bits[col*stride(g.Rows)+n>>3] >> (n & 7 * 8))
}

// String draws the grid with # for dark modules, one line a row.
func (g *Grid) String() string {
	var b []byte
	for row := range g.Rows {
		for col := range g.Cols {
			c := byte('.')
			if g.Dark(col, row) {
				c = '#'
			}
			b = append(b, c)
		}
		b = append(b, '\n')
	}
	return string(b)
}

// rectangles covers the dark modules with few rectangles that don't overlap,
// each as left, top, right and bottom: runs down the columns, joined with the
// same run in the next ones.
func (g *Grid) rectangles() [][4]int {
	var done, open [][4]int
	for col := range g.Cols {
		var next [][4]int
		for row := 0; row < g.Rows; row++ {
			from := row
			for row < g.Rows && g.Dark(col, row) {
				row++
			}
			if row == from {
				continue
			}
			run := [4]int{col, from, col + 1, row}
			for _, o := range open {
				if o[1] == from && o[3] == row {
					run[0] = o[0]
				}
			}
			next = append(next, run)
		}
		for _, o := range open {
			if !slices.ContainsFunc(next, func(r [4]int) bool { return r[0] == o[0] && r[1] == o[1] && r[3] == o[3] }) {
				done = append(done, o)
			}
		}
		open = next
	}
	return append(done, open...)
}
