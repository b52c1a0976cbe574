package barcode

// qrDraft is a QR Code while its fixed parts are drawn, kept by rows and by
// columns.
type qrDraft struct {
	size  int
	dark  [2][]uint64
	taken []bool
}

func newQRDraft(version int) *qrDraft {
	n := 4*version + 17
	d := &qrDraft{size: n, taken: make([]bool, n*n)}
	for i := range d.dark {
		d.dark[i] = make([]uint64, n*stride(n))
	}
	return d
}

// put sets a module and takes it out of the room for data.
func (d *qrDraft) put(col, row int, dark bool) {
	d.taken[row*d.size+col] = true
	if dark {
		s := stride(d.size)
		d.dark[0][row*s+col>>6] |= 1 << (col & 63)
		d.dark[1][col*s+row>>6] |= 1 << (row & 63)
	}
}

// finders draws the three finder patterns with their light separators.
func (d *qrDraft) finders() {
	for _, corner := range [][2]int{{0, 0}, {d.size - 7, 0}, {0, d.size - 7}} {
		for dr := -1; dr <= 7; dr++ {
			for dc := -1; dc <= 7; dc++ {
				col, row := corner[0]+dc, corner[1]+dr
				if col < 0 || row < 0 || col >= d.size || row >= d.size {
					continue
				}
				ring := max(abs(dc-3), abs(dr-3)) // 0 in the middle
				d.put(col, row, ring != 2 && ring != 4)
			}
		}
	}
}

func abs(v int) int { return max(v, -v) }

func (d *qrDraft) timing() {
	for i := 8; i < d.size-8; i++ {
		d.put(i, 6, i%2 == 0)
		d.put(6, i, i%2 == 0)
	}
}

// alignment draws the small marks, but none where a finder stands.
func (d *qrDraft) alignment(version int) {
	at := alignments(version)
	for i, row := range at {
		for j, col := range at {
			last := len(at) - 1
			if i == 0 && j == 0 || i == 0 && j == last || i == last && j == 0 {
				continue
			}
			for dr := -2; dr <= 2; dr++ {
				for dc := -2; dc <= 2; dc++ {
					d.put(col+dc, row+dr, max(abs(dc), abs(dr)) != 1)
				}
			}
		}
	}
}

// versionInfo draws the version, 6 bits and 12 check bits of the code with
// generator 0x1f25 (ISO/IEC 18004 7.10), from version 7 on.
func (d *qrDraft) versionInfo(version int) {
	if version < 7 {
		return
	}
	bits := version<<12 | remainder(version<<12, 0x1f25)
	for i := range 18 {
		dark := bits>>i&1 == 1
		d.put(d.size-11+i%3, i/3, dark)
		d.put(i/3, d.size-11+i%3, dark)
	}
}

// remainder divides polynomials over GF(2).
func remainder(v, by int) int {
	width := func(x int) (n int) {
		for ; x > 0; x >>= 1 {
			n++
		}
		return n
	}
	for n := width(by); width(v) >= n; {
		v ^= by << (width(v) - n)
	}
	return v
}

// formatAt gives where bit i of the format information stands, twice; bit 0
// is the lowest (ISO/IEC 18004 figure 25).
func (d *qrDraft) formatAt(i int) (at [2][2]int) {
	n := d.size
	switch {
	case i < 6:
		at[0] = [2]int{8, i}
	case i < 8:
		at[0] = [2]int{8, i + 1}
	case i == 8:
		at[0] = [2]int{7, 8}
	default:
		at[0] = [2]int{14 - i, 8}
	}
	if i < 8 {
		at[1] = [2]int{n - 1 - i, 8}
	} else {
		at[1] = [2]int{8, n - 15 + i}
	}
	return at
}

// reserveFormat keeps data off the format information, and draws the one
// module that is always dark.
func (d *qrDraft) reserveFormat() {
	for i := range 15 {
		for _, at := range d.formatAt(i) {
			d.put(at[0], at[1], false)
		}
	}
	d.put(8, d.size-8, true)
}

// format draws level and mask, 5 bits and 10 check bits of the code with
// generator 0x537, turned over by 0x5412 (ISO/IEC 18004 7.9).
func (d *qrDraft) format(level, mask int) {
	v := [...]int{1, 0, 3, 2}[level]<<3 | mask
	bits := (v<<10 | remainder(v<<10, 0x537)) ^ 0x5412
	for i := range 15 {
		for _, at := range d.formatAt(i) {
			d.put(at[0], at[1], bits>>i&1 == 1)
		}
	}
}

// order gives the free modules as data fill them: in pairs of columns from the
// right, up and down in turn, past the vertical timing line
// (ISO/IEC 18004 7.7.3).
func (d *qrDraft) order() []uint16 {
	var list []uint16
	up := true
	for right := d.size - 1; right > 0; right -= 2 {
		if right == 6 {
			right--
		}
		for i := range d.size {
			row := i
			if up {
				row = d.size - 1 - i
			}
			for col := right; col > right-2; col-- {
				if at := row*d.size + col; !d.taken[at] {
					list = append(list, uint16(at))
				}
			}
		}
		up = !up
	}
	return list
}
