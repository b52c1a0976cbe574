package barcode

// qrMode is a way to write characters in a QR Code.
type qrMode uint8

const (
	qrNumeric qrMode = iota
	qrAlphanumeric
	qrBytes
	qrModes
)

// indicator is the mode's four bits (ISO/IEC 18004 table 2).
func (m qrMode) indicator() uint32 { return [...]uint32{1, 2, 4}[m] }

// countBits is the width of the count of characters (ISO/IEC 18004 table 3).
func (m qrMode) countBits(version int) int {
	group := 0
	switch {
	case version >= 27:
		group = 2
	case version >= 10:
		group = 1
	}
	return [qrModes][3]int{{10, 12, 14}, {9, 11, 13}, {8, 16, 16}}[m][group]
}

// sixths is what one character takes, in sixths of a bit.
func (m qrMode) sixths() int { return [...]int{20, 33, 48}[m] }

// alphanumeric gives each character's value in alphanumeric mode, -1 for those
// that have none (ISO/IEC 18004 table 5).
var alphanumeric = func() (t [256]int8) {
	for i := range t {
		t[i] = -1
	}
	for i, c := range "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:" {
		t[c] = int8(i)
	}
	return t
}()

// separator ends an element string of variable length in GS1 data.
const separator = 0x1d

// alphanumericOf is alphanumeric for GS1 data: there the percent sign stands
// for the separator, and a percent sign itself is left to bytes.
func alphanumericOf(c byte, gs1 bool) int8 {
	if gs1 && c == separator {
		return alphanumeric['%']
	}
	if gs1 && c == '%' {
		return -1
	}
	return alphanumeric[c]
}

func (m qrMode) takes(c byte, gs1 bool) bool {
	switch m {
	case qrNumeric:
		return c >= '0' && c <= '9'
	case qrAlphanumeric:
		return alphanumericOf(c, gs1) >= 0
	}
	return true
}

// qrHead is what stands before the first segment.
type qrHead struct{ gs1, utf8 bool }

func (h qrHead) bits() int {
	n := 0
	if h.utf8 {
		n += 12
	}
	if h.gs1 {
		n += 4
	}
	return n
}

// write puts ECI 000026, UTF-8, and FNC1 in first position
// (ISO/IEC 18004 7.4.2 and 7.4.8).
func (h qrHead) write(w *bitWriter) {
	if h.utf8 {
		w.write(7, 4)
		w.write(26, 8)
	}
	if h.gs1 {
		w.write(5, 4)
	}
}

// qrSegment is a stretch of data in one mode.
type qrSegment struct {
	mode     qrMode
	from, to int
}

const never = 1 << 30

// segment cuts the data into the segments that take the fewest bits in the
// versions from first on, and gives those bits. The cheapest way to have
// written the characters so far is kept for each mode that the next one may
// use.
func (b *qrBench) segment(data []byte, first int, gs1 bool) int {
	var head, cost [qrModes]int
	for m := range qrModes {
		head[m] = (4 + m.countBits(first)) * 6
	}
	cost = head
	b.steps = b.steps[:0]
	for _, c := range data {
		next := [qrModes]int{never, never, never}
		step := [qrModes]qrMode{qrModes, qrModes, qrModes}
		for m := range qrModes {
			if m.takes(c, gs1) {
				next[m], step[m] = cost[m]+m.sixths(), m
			}
		}
		written := next
		for from := range qrModes {
			if written[from] == never {
				continue
			}
			for to := range qrModes {
				if n := (written[from]+5)/6*6 + head[to]; n < next[to] {
					next[to], step[to] = n, from
				}
			}
		}
		b.steps = append(b.steps, step)
		cost = next
	}
	return b.trace(cost)
}

// trace follows the best steps back and joins them to segments.
func (b *qrBench) trace(cost [qrModes]int) int {
	mode := qrNumeric
	for m := range qrModes {
		if cost[m] < cost[mode] {
			mode = m
		}
	}
	bits := (cost[mode] + 5) / 6
	b.segments = b.segments[:0]
	for i := len(b.steps) - 1; i >= 0; i-- {
		mode = b.steps[i][mode]
		if n := len(b.segments); n > 0 && b.segments[n-1].mode == mode {
			b.segments[n-1].from = i
		} else {
			b.segments = append(b.segments, qrSegment{mode, i, i + 1})
		}
	}
	for i, j := 0, len(b.segments)-1; i < j; i, j = i+1, j-1 {
		b.segments[i], b.segments[j] = b.segments[j], b.segments[i]
	}
	return bits
}

// write puts the segment's characters (ISO/IEC 18004 7.4.3 to 7.4.5).
func (s qrSegment) write(w *bitWriter, data []byte, version int, gs1 bool) {
	part := data[s.from:s.to]
	w.write(s.mode.indicator(), 4)
	w.write(uint32(len(part)), s.mode.countBits(version))
	switch s.mode {
	case qrNumeric:
		for ; len(part) > 0; part = part[min(3, len(part)):] {
			n := uint32(0)
			group := part[:min(3, len(part))]
			for _, c := range group {
				n = 10*n + uint32(c-'0')
			}
			w.write(n, 1+3*len(group))
		}
	case qrAlphanumeric:
		for ; len(part) > 1; part = part[2:] {
			w.write(45*uint32(alphanumericOf(part[0], gs1))+uint32(alphanumericOf(part[1], gs1)), 11)
		}
		if len(part) > 0 {
			w.write(uint32(alphanumericOf(part[0], gs1)), 6)
		}
	default:
		for _, c := range part {
			w.write(uint32(c), 8)
		}
	}
}

// bitWriter gathers bits, the highest first.
type bitWriter struct {
	bytes []byte
	held  uint32
	n     int // bits in held, fewer than 8
}

func (w *bitWriter) reset() { w.bytes, w.held, w.n = w.bytes[:0], 0, 0 }

// write adds the lowest n bits of v; n is at most 16.
func (w *bitWriter) write(v uint32, n int) {
	w.held = w.held<<n | v
	w.n += n
	for w.n >= 8 {
		w.n -= 8
		w.bytes = append(w.bytes, byte(w.held>>w.n))
	}
	w.held &= 1<<w.n - 1
}

// pad ends the data and fills them up to size bytes (ISO/IEC 18004 7.4.10).
func (w *bitWriter) pad(size int) {
	w.write(0, min(4, 8*(size-len(w.bytes))-w.n))
	if w.n > 0 {
		w.write(0, 8-w.n)
	}
	for i := 0; len(w.bytes) < size; i++ {
		w.bytes = append(w.bytes, [...]byte{0xec, 0x11}[i%2])
	}
}
