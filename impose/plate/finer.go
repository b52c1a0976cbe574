package plate

// finer is how many times finer plates with images and with tiling patterns that
// aren't spread out are drawn: the renderer puts an image and a pattern's cell on
// whole pixels, which at 300 to the inch changes the area of a small one by some per
// cent.
const finer = 2

// fineness gives how many times finer than the grid a copy is drawn.
func (s *Set) fineness(b *builder) int {
	if b.snaps && !s.rough && !s.isLarge() {
		return finer
	}
	return 1
}

// mostFiner is how many pixels a page may have that is drawn finer: those of a
// label, not of a frame, on which a pixel counts for little.
const mostFiner = 4 << 20

// isLarge reports whether a page is one of many labels: what repeats there is drawn
// once, and nothing finer than the grid.
func (s *Set) isLarge() bool { return s.large || s.Grid.Pixels() > mostFiner }

// coarser averages squares of brightness to pixels of a grid that is so wide, in the
// place of what was there. buf has room for a row.
func coarser(grey []byte, width, fine int, buf []byte) []byte {
	wide, area := fine*width, fine*fine
	rows := len(grey) / wide / fine
	out := grey[:0]
	for y := range rows {
		buf = buf[:0]
		for x := range width {
			sum := 0
			for i := range fine {
				at := (fine*y+i)*wide + fine*x
				for _, v := range grey[at : at+fine] {
					sum += int(v)
				}
			}
			buf = append(buf, byte((sum+area/2)/area))
		}
		out = append(out, buf...) // behind what is still to be read
	}
	return out
}

// invert turns brightness into ink, or back.
func invert(pixels []byte) {
	for i, v := range pixels {
		pixels[i] = 255 - v
	}
}
