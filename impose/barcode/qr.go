package barcode

import (
	"unicode/utf8"

	"quoin/impose/say"
)

// Level is how much of a QR Code may be lost: see Options.
type Level string

// The levels.
const (
	LevelL Level = "L"
	LevelM Level = "M"
	LevelQ Level = "Q"
	LevelH Level = "H"
)

// index returns the row of the tables, -1 for no level.
func (l Level) index() int {
	for i, m := range []Level{LevelL, LevelM, LevelQ, LevelH} {
		if l == m {
			return i
		}
	}
	return -1
}

// qrBench is the memory that one QR Code after another is made in.
type qrBench struct {
	steps    [][qrModes]qrMode // how each byte is best written
	segments []qrSegment
	bits     bitWriter
	words    []byte // interleaved, with check codewords
	rows     []uint64
	cols     []uint64
	try      [2][]uint64
}

// encodeQR makes a QR Code (ISO/IEC 18004). Text beyond ASCII is announced as
// UTF-8 by an extended channel interpretation, because plain bytes mean
// ISO 8859-1; bytes that are no UTF-8 are written as they are.
func (e *Encoder) encodeQR(data []byte, gs1 bool) error {
	head := qrHeadOf(data, gs1)
	version, err := e.qrVersion(data, head)
	if err != nil {
		return err
	}
	plan, err := qrPlanOf(version, e.options.Level.index())
	if err != nil {
		return err
	}
	b := &e.qr
	b.bits.reset()
	head.write(&b.bits)
	for _, s := range b.segments {
		s.write(&b.bits, data, version, gs1)
	}
	b.bits.pad(plan.data)
	e.words = b.bits.bytes
	b.interleave(e.words, plan)
	b.lay(plan)
	e.symbol.Grid.take(plan.size, b.choose(plan))
	return nil
}

func qrHeadOf(data []byte, gs1 bool) qrHead {
	return qrHead{gs1: gs1, utf8: beyondASCII(data) && utf8.Valid(data)}
}

// qrVersion finds the smallest version that holds the data, and leaves its
// segments on the bench. The counts' widths change twice among the versions,
// and the best segments with them.
func (e *Encoder) qrVersion(data []byte, head qrHead) (int, error) {
	least := 1
	if e.options.Least > 21 {
		least = (e.options.Least - 17 + 3) / 4
	}
	level := e.options.Level.index()
	for _, group := range [...]struct{ first, last int }{{1, 9}, {10, 26}, {27, maxVersion}} {
		if group.last < least {
			continue
		}
		bits := head.bits() + e.qr.segment(data, group.first, head.gs1)
		for v := max(group.first, least); v <= group.last; v++ {
			if bits <= 8*qrData(v, level) {
				return v, nil
			}
		}
	}
	return 0, say.Refuse(say.Failed, "shorten the value, or take a lower level of error correction", "%d bytes are more than a QR Code of level %s holds", len(data), e.options.Level)
}

// beyondASCII reports whether the data hold more than ASCII.
func beyondASCII(data []byte) bool {
	for _, c := range data {
		if c >= utf8.RuneSelf {
			return true
		}
	}
	return false
}

// interleave splits the data into blocks, adds each block's check codewords
// and deals all out in turn (ISO/IEC 18004 7.6).
func (b *qrBench) interleave(data []byte, p *qrPlan) {
	total := p.data + p.blocks*p.checks
	if cap(b.words) < total {
		b.words = make([]byte, total)
	}
	b.words = b.words[:total]
	short, long := p.data/p.blocks, p.data%p.blocks // the last blocks are one longer
	code := qrCodes.of(p.checks)
	var checks [mostChecks]byte
	for i, at := 0, 0; i < p.blocks; i++ {
		n := short
		if i >= p.blocks-long {
			n++
		}
		block := data[at : at+n]
		at += n
		for j, d := range block {
			k := j*p.blocks + i
			if j == short { // only the long blocks get here
				k = j*p.blocks + i - (p.blocks - long)
			}
			b.words[k] = d
		}
		for j, c := range code.append(checks[:0], block) {
			b.words[p.data+j*p.blocks+i] = c
		}
	}
}
