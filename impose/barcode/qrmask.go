package barcode

import "math/bits"

// lay puts the codewords' bits on the free modules, by rows and by columns.
func (b *qrBench) lay(p *qrPlan) {
	s := stride(p.size)
	b.rows = append(b.rows[:0], make([]uint64, p.size*s)...)
	b.cols = append(b.cols[:0], make([]uint64, p.size*s)...)
	n := uint(p.size)
	for i, at := range p.order {
		if i>>3 >= len(b.words) {
			break // the modules left over stay light
		}
		if b.words[i>>3]>>(7-i&7)&1 == 1 {
			row, col := uint(at)/n, uint(at)%n
			b.rows[row*uint(s)+col>>6] |= 1 << (col & 63)
			b.cols[col*uint(s)+row>>6] |= 1 << (row & 63)
		}
	}
}

// choose tries the eight masks and gives the columns under the one with the
// fewest penalty points (ISO/IEC 18004 7.8.3).
func (b *qrBench) choose(p *qrPlan) []uint64 {
	best, least := 0, never
	for m := range p.masks {
		b.under(p, m)
		if points := penalty(b.try[0], b.try[1], p.size); points < least {
			best, least = m, points
		}
	}
	b.under(p, best)
	return b.try[1]
}

// under lays a mask, and all that is fixed, over the data.
func (b *qrBench) under(p *qrPlan, mask int) {
	for i, lines := range [2][]uint64{b.rows, b.cols} {
		over := p.masks[mask][i]
		out := append(b.try[i][:0], lines...)
		for j, w := range over {
			out[j] ^= w
		}
		b.try[i] = out
	}
}

// take fills the grid with the columns.
func (g *Grid) take(size int, cols []uint64) {
	g.reset(size, size)
	copy(g.bits, cols)
}

// penalty adds up what makes a symbol hard to read. Light beyond the symbol's
// edge counts, because the quiet zone is light.
func penalty(rows, cols []uint64, n int) int {
	points := linePoints(rows, n) + linePoints(cols, n) + 3*blocksOfFour(rows, n)
	dark := 0
	for _, w := range rows {
		dark += bits.OnesCount64(w)
	}
	// Ten points for each whole 5 % that dark modules are off one half.
	off := 20*dark - 10*n*n
	return points + 10*(max(off, -off)/(n*n))
}

// valid returns the bits of word w whose k followers are on the line too.
func valid(n, w, k int) uint64 {
	left := n - k - 64*w
	switch {
	case left <= 0:
		return 0
	case left >= 64:
		return ^uint64(0)
	}
	return 1<<left - 1
}

// linePoints adds 3 points for each run of five modules of one colour and one
// for each further module, and 40 for each finder-like pattern, dark 1 1 3 1 1
// with four light modules on either side. All positions of a word are looked
// at together.
func linePoints(lines []uint64, n int) int {
	points, s := 0, stride(n)
	for ; len(lines) > 0; lines = lines[s:] {
		var before, carry uint64
		for w := range s - 1 {
			x, next := lines[w], lines[w+1]
			x1, x2 := x>>1|next<<63, x>>2|next<<62
			x3, x4 := x>>3|next<<61, x>>4|next<<60
			runs := (x&x1&x2&x3&x4 | ^(x | x1 | x2 | x3 | x4)) & valid(n, w, 4)
			points += bits.OnesCount64(runs) + 2*bits.OnesCount64(runs&^(runs<<1|carry))
			carry = runs >> 63

			x5, x6 := x>>5|next<<59, x>>6|next<<58
			if like := x &^ x1 & x2 & x3 & x4 &^ x5 & x6; like != 0 {
				after := x>>7 | next<<57 | x>>8 | next<<56 | x>>9 | next<<55 | x>>10 | next<<54
				ahead := x<<1 | before>>63 | x<<2 | before>>62 | x<<3 | before>>61 | x<<4 | before>>60
				points += 40 * bits.OnesCount64(like&^(after&ahead))
			}
			before = x
		}
	}
	return points
}

// blocksOfFour counts the squares of two by two modules of one colour.
func blocksOfFour(rows []uint64, n int) int {
	count, s := 0, stride(n)
	for row := range n - 1 {
		a, b := rows[row*s:(row+1)*s], rows[(row+1)*s:(row+2)*s]
		for w := range s - 1 {
			a1, b1 := a[w]>>1|a[w+1]<<63, b[w]>>1|b[w+1]<<63
			same := a[w]&a1&b[w]&b1 | ^(a[w] | a1 | b[w] | b1)
			count += bits.OnesCount64(same & valid(n, w, 1))
		}
	}
	return count
}
