package barcode

import "slices"

// stackBars puts the halves of 46 elements above each other, with a separator
// between them: rows of 5, 1 and 7 modules, or of 33, 3 and 33 to be read from
// all sides (ISO/IEC 24724 6.3 and 6.4; from memory).
func (g *Grid) stackBars(elements []uint8, omni bool) {
	const wide = 50
	top, foot := make([]bool, 0, wide), make([]bool, 0, wide)
	for i, w := range elements[:23] {
		top = appendRun(top, i%2 == 1, w)
	}
	top = append(top, true, false)
	foot = append(foot, true, false)
	for i, w := range elements[23:] {
		foot = appendRun(foot, i%2 == 0, w)
	}
	type line struct {
		modules []bool
		high    int
	}
	rows := []line{{top, 5}, {between(top, foot), 1}, {foot, 7}}
	if omni {
		middle := make([]bool, wide)
		for i := 5; i < 46; i += 2 {
			middle[i] = true
		}
		rows = []line{{top, 33}, {opposite(top, 18), 1}, {middle, 1}, {opposite(foot, 17), 1}, {foot, 33}}
	}
	high := 0
	for _, r := range rows {
		high += r.high
	}
	g.reset(wide, high)
	at := 0
	for _, r := range rows {
		for i, dark := range r.modules {
			for y := range r.high {
				if dark {
					g.set(i, at+y)
				}
			}
		}
		at += r.high
	}
}

func appendRun(dst []bool, dark bool, n uint8) []bool {
	for range n {
		dst = append(dst, dark)
	}
	return dst
}

// between returns the separator of two rows: where they are alike, the opposite;
// elsewhere the opposite of the module before.
func between(top, foot []bool) []bool {
	out := make([]bool, len(top))
	for i := 1; i < 46; i++ {
		if top[i] == foot[i] {
			out[i] = !top[i]
		} else {
			out[i] = !out[i-1]
		}
	}
	clear(out[:4]) // it begins later
	return out
}

// wideFinder is the finder at the foot with a bar of nine modules, from the space
// before it.
var wideFinder = func() (out []bool) {
	for i, w := range []uint8{1, 9, 1, 3} {
		out = appendRun(out, i%2 == 1, w)
	}
	return out
}()

// opposite returns the separator beside one row: its opposite, and beside the finder,
// whose elements begin at a module, light and dark in turn where the row is light.
func opposite(row []bool, finder int) []bool {
	out := make([]bool, len(row))
	for i := 4; i < 46; i++ {
		out[i] = !row[i]
	}
	if wide := 19; finder < 18 && slices.Equal(row[wide-1:wide+13], wideFinder) {
		out[wide+9], out[wide+10] = false, true // the one dark module goes one further
		return out
	}
	dark := true
	for i := finder; i < finder+13; i++ {
		if row[i] {
			out[i], dark = false, true
		} else {
			out[i], dark = dark, !dark
		}
	}
	return out
}
