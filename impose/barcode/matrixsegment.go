package barcode

import "sync"

// Codewords of Data Matrix (ISO/IEC 16022 tables 2 and 3).
const (
	matrixFNC1    = 232
	matrixUpper   = 235 // the next codeword means a byte past 127
	matrixToC40   = 230
	matrixToText  = 239
	matrixToBytes = 231
	matrixUnlatch = 254
)

// matrixMode is a way to write characters in a Data Matrix. C40 and Text pack
// three values in two codewords and may only end behind a whole pair, so each
// has a mode for every number of values left over.
type matrixMode int8

const (
	inASCII matrixMode = iota
	inC40              // and with 1 and 2 values left over
	inText  = inC40 + 3
	inBytes = inText + 3

	matrixModes = inBytes + 1
)

// base returns the mode without its values left over.
func (m matrixMode) base() matrixMode {
	switch {
	case m >= inC40 && m < inText:
		return inC40
	case m >= inText && m < inBytes:
		return inText
	}
	return m
}

// matrixCell is the cheapest way to each mode in front of a character.
type matrixCell struct {
	cost [matrixModes]int        // in thirds of a codeword
	from [matrixModes]matrixMode // the mode before
	step [matrixModes]uint8      // characters since then; 0 is a change of mode
}

// reach notes a way to a mode if it is the cheapest yet.
func (c *matrixCell) reach(to, from matrixMode, cost int, step uint8) {
	if cost < c.cost[to] {
		c.cost[to], c.from[to], c.step[to] = cost, from, step
	}
}

// changes adds latches and unlatches, which take no character.
func (c *matrixCell) changes() {
	c.reach(inASCII, inC40, c.cost[inC40]+3, 0)
	c.reach(inASCII, inText, c.cost[inText]+3, 0)
	c.reach(inASCII, inBytes, c.cost[inBytes], 0)
	c.reach(inC40, inASCII, c.cost[inASCII]+3, 0)
	c.reach(inText, inASCII, c.cost[inASCII]+3, 0)
	c.reach(inBytes, inASCII, c.cost[inASCII]+6, 0)
}

// matrixSegment is a stretch of data in one mode.
type matrixSegment struct {
	mode     matrixMode
	from, to int
}

// write adds the codewords of the data: the fewest that ASCII, C40, Text and
// bytes together can do.
func (b *matrixBench) write(words, data []byte, gs1 bool) []byte {
	b.plan(data, gs1)
	for _, s := range b.segments {
		part := data[s.from:s.to]
		switch s.mode {
		case inASCII:
			words = appendASCII(words, part, gs1)
		case inC40:
			words = appendPacked(append(words, matrixToC40), part, false)
		case inText:
			words = appendPacked(append(words, matrixToText), part, true)
		case inBytes:
			words = appendBytes(append(words, matrixToBytes), part)
		}
	}
	return words
}

// plan finds the cheapest modes from the front and follows them back.
func (b *matrixBench) plan(data []byte, gs1 bool) {
	b.cells = b.cells[:0]
	for range len(data) + 2 { // digits look two ahead
		var c matrixCell
		for m := range c.cost {
			c.cost[m] = never
		}
		b.cells = append(b.cells, c)
	}
	b.cells[0].cost[inASCII] = 0
	for i, c := range data {
		b.cells[i].changes()
		here, next := &b.cells[i].cost, &b.cells[i+1]
		special := gs1 && c == separator
		if c < 128 {
			next.reach(inASCII, inASCII, here[inASCII]+3, 1)
		} else {
			next.reach(inASCII, inASCII, here[inASCII]+6, 1)
		}
		if i+1 < len(data) && isDigit(c) && isDigit(data[i+1]) {
			b.cells[i+2].reach(inASCII, inASCII, here[inASCII]+3, 2)
		}
		if special {
			continue // the function character is left to ASCII
		}
		for _, base := range [...]matrixMode{inC40, inText} {
			n := packedValues(c, base == inText)
			for left := range matrixMode(3) {
				next.reach(base+(left+matrixMode(n))%3, base+left, here[base+left]+2*n, 1)
			}
		}
		next.reach(inBytes, inBytes, here[inBytes]+3, 1)
	}
	b.cells[len(data)].changes()
	b.trace(len(data))
}

// trace follows the cheapest way back from plain ASCII at the end.
func (b *matrixBench) trace(end int) {
	b.segments = b.segments[:0]
	for at, mode := end, inASCII; at > 0; {
		c := &b.cells[at]
		step, from := int(c.step[mode]), c.from[mode]
		if step > 0 {
			if n := len(b.segments); n > 0 && b.segments[n-1].from == at && b.segments[n-1].mode == mode.base() {
				b.segments[n-1].from = at - step
			} else {
				b.segments = append(b.segments, matrixSegment{mode.base(), at - step, at})
			}
		}
		at, mode = at-step, from
	}
	for i, j := 0, len(b.segments)-1; i < j; i, j = i+1, j-1 {
		b.segments[i], b.segments[j] = b.segments[j], b.segments[i]
	}
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func appendASCII(words, part []byte, gs1 bool) []byte {
	for i := 0; i < len(part); i++ {
		c := part[i]
		switch {
		case i+1 < len(part) && isDigit(c) && isDigit(part[i+1]):
			words = append(words, 130+10*(c-'0')+part[i+1]-'0')
			i++
		case gs1 && c == separator:
			words = append(words, matrixFNC1)
		case c >= 128:
			words = append(words, matrixUpper, c-128+1)
		default:
			words = append(words, c+1)
		}
	}
	return words
}

// appendBytes writes the length and the bytes, made to look random by their
// places (ISO/IEC 16022 5.2.9 and annex B.2).
func appendBytes(words, part []byte) []byte {
	put := func(v int) {
		words = append(words, byte((v+149*(len(words)+1)%255+1)%256))
	}
	if len(part) < 250 {
		put(len(part))
	} else {
		put(len(part)/250 + 249)
		put(len(part) % 250)
	}
	for _, c := range part {
		put(int(c))
	}
	return words
}

// appendPacked writes three values in two codewords; their number is a
// multiple of three. It goes back to ASCII at the end.
func appendPacked(words, part []byte, text bool) []byte {
	held, n := 0, 0
	for _, c := range part {
		for _, v := range packed(c, text) {
			held = 40*held + int(v)
			if n++; n == 3 {
				words = append(words, byte((held+1)>>8), byte(held+1))
				held, n = 0, 0
			}
		}
	}
	return append(words, matrixUnlatch)
}

func packedValues(c byte, text bool) int { return len(packed(c, text)) }

// packed returns the values of a byte in C40 or Text.
func packed(c byte, text bool) []byte {
	if text {
		return packedTables()[1][c]
	}
	return packedTables()[0][c]
}

// packedTables hold ISO/IEC 16022 tables C.1 and C.2: the first set, and what
// shifts 1, 2 and 3 reach. Text is C40 with the cases of letters exchanged.
var packedTables = sync.OnceValue(func() *[2][256][]byte {
	var t [2][256][]byte
	for text := range t {
		for c := range 128 {
			letter := c
			if text == 1 && (c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z') {
				letter ^= 'a' - 'A'
			}
			t[text][c] = packedC40(byte(letter))
		}
		for c := 128; c < 256; c++ {
			t[text][c] = append([]byte{1, 30}, t[text][c-128]...)
		}
	}
	return &t
})

func packedC40(c byte) []byte {
	switch {
	case c == ' ':
		return []byte{3}
	case isDigit(c):
		return []byte{c - '0' + 4}
	case c >= 'A' && c <= 'Z':
		return []byte{c - 'A' + 14}
	case c < ' ':
		return []byte{0, c}
	case c < '0':
		return []byte{1, c - '!'}
	case c <= '@':
		return []byte{1, c - ':' + 15}
	case c <= '_':
		return []byte{1, c - '[' + 22}
	}
	return []byte{2, c - '`'}
}
