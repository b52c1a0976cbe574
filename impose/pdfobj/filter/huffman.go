package filter

import (
	"math/bits"
	"sync"
)

const (
	maxCode     = 15 // bits of a code (RFC 1951 3.2.7)
	tableBits   = 11
	tableMask   = 1<<tableBits - 1
	codesOfLits = 286
	codesOfDist = 30
)

// entry is what a table gives for the next bits. 0 stands for no code. From its
// lowest bits: how many bits it takes (4), how many literals it is (2); then the
// literals, or for lengths and distances a flag, the number of bits that follow (4)
// and the least value (16).
type entry uint32

const (
	endFlag  = 1 << 6
	linkFlag = 1 << 7
)

func (e entry) bits() uint    { return uint(e & 15) }
func (e entry) literals() int { return int(e >> 4 & 3) }
func (e entry) ends() bool    { return e&(3<<4|endFlag) == endFlag }
func (e entry) links() bool   { return e&(3<<4|linkFlag) == linkFlag }
func (e entry) extra() uint   { return uint(e >> 8 & 15) }
func (e entry) base() uint    { return uint(e >> 16) }

// table gives by the next 11 bits what they begin with: one code, or up to three of
// literals. Longer codes are in links, by the bits behind.
type table struct {
	entries [1 << tableBits]entry
	links   []entry
	lengths [288]uint8 // of the codes, by symbol
}

// tables are those of one block.
type tables struct{ lits, dists table }

// linked follows an entry to that of a longer code.
func (t *table) linked(e entry, b uint64) entry {
	return t.links[e.base()+uint(b>>tableBits&(1<<e.extra()-1))]
}

// one gives the entry of the next code alone, and how many bits it takes.
func (t *table) one(b uint64) (entry, uint) {
	e := t.entries[b&tableMask]
	if e.links() {
		e = t.linked(e, b)
	}
	if e.literals() > 0 {
		return e&^(3<<4) | 1<<4, uint(t.lengths[e>>8&0xff])
	}
	return e, e.bits()
}

// build makes the table of codes by their lengths (3.2.2), and reports whether they
// are complete, or one of one bit or none at all, as encoders make them for nothing.
func (t *table) build(lengths []uint8, meaning []entry) bool {
	var count, next [maxCode + 2]int
	longest := 0
	for _, n := range lengths {
		if n > 0 {
			count[n]++
			longest = max(longest, int(n))
		}
	}
	code := 0
	for n := 1; n <= longest; n++ {
		code <<= 1
		next[n] = code
		code += count[n]
	}
	if longest > 0 && code != 1<<longest && !(code == 1 && longest == 1) {
		return false
	}
	clear(t.entries[:])
	clear(t.lengths[copy(t.lengths[:], lengths):])
	t.links = t.links[:0]
	for s, n := range lengths {
		if n == 0 {
			continue
		}
		at := int(bits.Reverse16(uint16(next[n])) >> (16 - n))
		next[n]++
		e := meaning[s]
		if e != 0 {
			e |= entry(n)
		}
		if n <= tableBits {
			for ; at < len(t.entries); at += 1 << n {
				t.entries[at] = e
			}
			continue
		}
		t.link(at, int(n), longest-tableBits, e)
	}
	return true
}

// link enters a code that is longer than the table's bits.
func (t *table) link(code, n, more int, e entry) {
	head := &t.entries[code&tableMask]
	if *head == 0 {
		*head = entry(len(t.links))<<16 | entry(more)<<8 | linkFlag
		for range 1 << more {
			t.links = append(t.links, 0)
		}
	}
	list := t.links[head.base():][:1<<more]
	for at := code >> tableBits; at < len(list); at += 1 << (n - tableBits) {
		list[at] = e
	}
}

// gather makes one entry of literals whose codes stand in the table's bits together.
// It goes down, because what is left of the bits is a lesser number: what stands
// there is still a code alone.
func (t *table) gather() {
	for i := tableMask; i >= 0; i-- {
		e := t.entries[i]
		if e.literals() == 0 {
			continue
		}
		for rest := i; e.literals() < 3; {
			rest >>= t.lengths[e>>(8*e.literals())&0xff]
			next := t.entries[rest]
			if next.literals() != 1 || e.bits()+next.bits() > tableBits {
				break
			}
			e = e&^(3<<4) + entry(next.bits()) | entry(e.literals()+1)<<4 | next>>8<<(8*e.literals()+8)
		}
		t.entries[i] = e
	}
}

// What the codes of lengths and distances stand for (3.2.5).
var litMeaning, distMeaning = func() (lits [288]entry, dists [32]entry) {
	for s := range 256 {
		lits[s] = entry(s)<<8 | 1<<4
	}
	lits[256] = endFlag
	base, extra := 3, 0
	for s := 257; s < 285; s++ {
		if s >= 265 && (s-265)%4 == 0 {
			extra++
		}
		lits[s] = entry(base)<<16 | entry(extra)<<8
		base += 1 << extra
	}
	lits[285] = maxMatch << 16
	base, extra = 1, 0
	for s := range codesOfDist {
		if s >= 4 && s%2 == 0 {
			extra++
		}
		dists[s] = entry(base)<<16 | entry(extra)<<8
		base += 1 << extra
	}
	return lits, dists
}()

// lengthMeaning is that of the codes of lengths of codes (3.2.7): a length and 1, or
// how often something comes again.
var lengthMeaning = func() (m [19]entry) {
	for s := range 16 {
		m[s] = entry(s+1) << 16
	}
	m[16], m[17], m[18] = 3<<16|2<<8, 3<<16|3<<8, 11<<16|7<<8
	return m
}()

// fixed gives the tables of blocks that have no codes of their own (3.2.6).
var fixed = sync.OnceValue(func() *tables {
	var n [288]uint8
	for s := range n {
		switch {
		case s < 144, s >= 280:
			n[s] = 8
		case s < 256:
			n[s] = 9
		default:
			n[s] = 7
		}
	}
	t := &tables{}
	t.lits.build(n[:], litMeaning[:])
	t.lits.gather()
	t.dists.build([]uint8{5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5}, distMeaning[:])
	return t
})

// codeOrder is the order of the lengths of the codes of lengths (3.2.7).
var codeOrder = [19]uint8{16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15}

// codes reads the codes of a block (3.2.7).
func (f *inflater) codes() {
	if !f.need(14) {
		return
	}
	lits, dists, n := f.take(5)+257, f.take(5)+1, f.take(4)+4
	if lits > codesOfLits || dists > codesOfDist {
		f.corrupt()
		return
	}
	var lengths [codesOfLits + codesOfDist]uint8
	for _, s := range codeOrder[:n] {
		if !f.need(3) {
			return
		}
		lengths[s] = uint8(f.take(3))
	}
	t := &f.tables.dists
	if !t.build(lengths[:19], lengthMeaning[:]) {
		f.corrupt()
		return
	}
	clear(lengths[:19])
	all := lengths[:lits+dists]
	for i := 0; i < len(all); {
		e, ok := f.code(t)
		if !ok {
			return
		}
		again, ok := f.value(e)
		if !ok {
			return
		}
		n := uint8(0)
		switch s := e.base(); {
		case e.extra() == 0: // a length
			n, again = uint8(s-1), 1
		case e.extra() == 2 && i > 0: // the one before again
			n = all[i-1]
		case e.extra() == 2:
			f.corrupt()
			return
		}
		if i+again > len(all) {
			f.corrupt()
			return
		}
		for range again {
			all[i] = n
			i++
		}
	}
	if !f.tables.lits.build(all[:lits], litMeaning[:]) || !f.tables.dists.build(all[lits:], distMeaning[:]) {
		f.corrupt()
		return
	}
	f.tables.lits.gather()
}
