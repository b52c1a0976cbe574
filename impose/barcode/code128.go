package barcode

import "quoin/impose/say"

// widths128 holds the modules of bar, space, bar, space, bar and space of each
// symbol character (ISO/IEC 15417 table 1); the last one, stop, has a bar more.
var widths128 = [...]string{
	"212222", "222122", "222221", "121223", "121322", "131222", "122213", "122312", "132212", "221213",
	"221312", "231212", "112232", "122132", "122231", "113222", "123122", "123221", "223211", "221132",
	"221231", "213212", "223112", "312131", "311222", "321122", "321221", "312212", "322112", "322211",
	"212123", "212321", "232121", "111323", "131123", "131321", "112313", "132113", "132311", "211313",
	"231113", "231311", "112133", "112331", "132131", "113123", "113321", "133121", "313121", "211331",
	"231131", "213113", "213311", "213131", "311123", "311321", "331121", "312113", "312311", "332111",
	"314111", "221411", "431111", "111224", "111422", "121124", "121421", "141122", "141221", "112214",
	"112412", "122114", "122411", "142112", "142211", "241211", "221114", "413111", "241112", "134111",
	"111242", "121142", "121241", "114212", "124112", "124211", "411212", "421112", "421211", "212141",
	"214121", "412121", "111143", "111341", "131141", "114113", "114311", "411113", "411311", "113141",
	"114131", "311141", "411131", "211412", "211214", "211232", "2331112",
}

// Code sets of Code 128.
const (
	setA = iota // controls and capitals
	setB        // capitals and small letters
	setC        // pairs of digits
	sets
)

// Symbol characters of Code 128 with a meaning of their own.
const (
	shift128 = 98 // the next character in the other of A and B
	fnc1     = 102
	start128 = 103 // start in A; B and C follow
	stop128  = 106
)

// latch128 returns the character that changes to a code set.
func latch128(to int) byte { return [sets]byte{101, 100, 99}[to] }

// longest128 is the most symbol characters: a symbol is past scanning long
// before that. GS1-128 allows 48 characters of data.
const longest128 = 80

// code128Bench is the memory that one Code 128 after another is made in.
type code128Bench struct {
	steps []step128
	words []byte
}

// step128 is the cheapest way to each code set in front of a character.
type step128 struct {
	cost  [sets]int // symbol characters so far
	from  [sets]int // the code set before
	chars [sets]uint8
	shift [sets]bool
}

// encode128 makes a Code 128 (ISO/IEC 15417) with the fewest symbol
// characters. Where two ways are equally short, set B is preferred, as annex E
// does.
func (e *Encoder) encode128(data []byte, gs1 bool) error {
	if err := e.plan128(data, gs1); err != nil {
		return err
	}
	words := e.code128.words
	bars := e.symbol.Bars[:0]
	for _, w := range append(words, check128(words), stop128) {
		for _, c := range []byte(widths128[w]) {
			bars = append(bars, c-'0')
		}
	}
	e.symbol.Bars = bars
	return nil
}

// plan128 finds the symbol characters and refuses what has too many.
func (e *Encoder) plan128(data []byte, gs1 bool) error {
	for _, c := range data {
		if c > 127 {
			return say.Refuse(say.Failed, "use a qr or data-matrix symbol for this value", "it holds characters beyond ASCII, which scanners of Code 128 read in different ways")
		}
	}
	if gs1 && len(data) > 48 {
		return say.Refuse(say.Failed, "use a gs1-data-matrix symbol, or two symbols", "%d characters are more than the 48 of a GS1-128", len(data))
	}
	e.code128.plan(data, gs1)
	if n := len(e.code128.words); n > longest128 {
		return say.Refuse(say.Failed, "use a data-matrix symbol for long values", "%d symbol characters are too long to be scanned", n)
	}
	return nil
}

// check128 returns the check character: start, and each next one by its place,
// modulo 103.
func check128(words []byte) byte {
	sum := int(words[0])
	for i, w := range words {
		sum += i * int(w)
	}
	return byte(sum % 103)
}

// value128 returns a character's value in A or B, and whether it has one.
func value128(c byte, set int) (byte, bool) {
	switch {
	case c < 32:
		return c + 64, set == setA
	case c < 96:
		return c - 32, true
	}
	return c - 32, set == setB
}

// plan finds the fewest symbol characters and leaves them in words, start
// included.
func (b *code128Bench) plan(data []byte, gs1 bool) {
	b.steps = b.steps[:0]
	for range len(data) + 2 { // pairs look two ahead
		b.steps = append(b.steps, step128{cost: [sets]int{never, never, never}})
	}
	first := 1
	if gs1 {
		first = 2
	}
	b.steps[0].cost = [sets]int{first, first, first}
	b.steps[0].from = [sets]int{setA, setB, setC}
	for i, c := range data {
		b.steps[i].latches()
		cost := b.steps[i].cost
		next := &b.steps[i+1]
		if gs1 && c == separator {
			for set := range sets {
				next.reach(set, set, cost[set]+1, 1, false)
			}
			continue
		}
		for _, set := range [...]int{setB, setA} {
			if _, ok := value128(c, set); ok {
				next.reach(set, set, cost[set]+1, 1, false)
			} else {
				next.reach(set, set, cost[set]+2, 1, true)
			}
		}
		if i+1 < len(data) && isDigit(c) && isDigit(data[i+1]) {
			b.steps[i+2].reach(setC, setC, cost[setC]+1, 2, false)
		}
	}
	b.trace(data, gs1)
}

func (s *step128) reach(to, from, cost int, chars uint8, shift bool) {
	if cost < s.cost[to] {
		s.cost[to], s.from[to], s.chars[to], s.shift[to] = cost, from, chars, shift
	}
}

// latches adds the changes of code set, which take no character of the data.
func (s *step128) latches() {
	before := s.cost
	for _, from := range [...]int{setB, setA, setC} {
		for to := range sets {
			if from != to {
				s.reach(to, from, before[from]+1, 0, false)
			}
		}
	}
}

// trace follows the cheapest way back and turns it round.
func (b *code128Bench) trace(data []byte, gs1 bool) {
	at, set := len(data), setB
	for _, s := range [...]int{setA, setC} {
		if b.steps[at].cost[s] < b.steps[at].cost[set] {
			set = s
		}
	}
	w := b.words[:0]
	for at > 0 {
		s := &b.steps[at]
		from, n := s.from[set], int(s.chars[set])
		switch c := data[at-max(n, 1)]; {
		case n == 0:
			w = append(w, latch128(set))
		case n == 2:
			w = append(w, 10*(c-'0')+data[at-1]-'0')
		case gs1 && c == separator:
			w = append(w, fnc1)
		case s.shift[set]:
			v, _ := value128(c, setA+setB-set)
			w = append(w, v, shift128)
		default:
			v, _ := value128(c, set)
			w = append(w, v)
		}
		at, set = at-n, from
	}
	if gs1 {
		w = append(w, fnc1)
	}
	w = append(w, byte(start128+set))
	for i, j := 0, len(w)-1; i < j; i, j = i+1, j-1 {
		w[i], w[j] = w[j], w[i]
	}
	b.words = w
}
