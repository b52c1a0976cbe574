package filter

import (
	"compress/flate"
	"encoding/binary"
	"io"
	"sync"
)

// inflater undoes deflate (RFC 1951). Content streams are mostly digits, whose codes
// are short, so it takes up to three literals in one step: packed paths come out in
// about half the time that the libraries at hand take (BenchmarkInflateRatio). What it gives
// is held against Go's own decoder, for damaged data too (FuzzInflate).
type inflater struct {
	src    io.Reader
	in     []byte // read from src, and not yet taken from at
	at     int
	readAt int64 // where in[0] lies in src
	ended  error // what ended src

	bits  uint64 // the next ones, from the lowest
	nbits uint   // how many of them there are

	out   []byte // the window, and what comes after it
	given int    // out that was given to whoever reads
	err   error

	final  bool
	stored int  // bytes of a stored block that are still to come
	coded  bool // within a block of codes
	use    *tables
	tables *tables // those of the block, where it has its own
}

const (
	inflateInput  = 32 << 10
	inflateWindow = 32 << 10 // as far as a copy may reach back
	inflateOutput = inflateWindow + 96<<10
	maxMatch      = 258
	// slack is what the quick loop may write beyond a symbol, and read beyond one.
	slack = maxMatch + 32
)

// inflaters are those at rest: documents have many small streams, and the tables are
// larger than most of them.
var inflaters = sync.Pool{New: func() any {
	return &inflater{in: make([]byte, 0, inflateInput), out: make([]byte, 0, inflateOutput), tables: &tables{}}
}}

// inflate is an inflater in use.
type inflate struct {
	state *inflater // nil once it has ended
	src   io.Reader
	err   error
}

func (z *inflate) Read(p []byte) (n int, err error) {
	if z.err != nil {
		return 0, z.err
	}
	if z.state == nil {
		z.state = inflaters.Get().(*inflater)
		z.state.begin(z.src)
	}
	if n, err = z.state.read(p); err != nil {
		z.state.src = nil
		inflaters.Put(z.state)
		z.state, z.err = nil, err
	}
	return n, err
}

func (f *inflater) begin(src io.Reader) {
	*f = inflater{src: src, in: f.in[:0], out: f.out[:0], tables: f.tables}
	if f.skipHeader(); len(f.in) == 0 {
		f.err = f.ended // nothing at all is no damage
	}
}

// skipHeader skips the zlib header, which some writers leave out or precede by a line
// end.
func (f *inflater) skipHeader() {
	for len(f.in) < 4 && f.fill() {
	}
	for skip := 0; skip < 3 && skip+1 < len(f.in); skip++ {
		if isZlibHeader(f.in[skip], f.in[skip+1]) {
			f.at = skip + 2
			return
		}
		if c := f.in[skip]; c != '\r' && c != '\n' && c != ' ' {
			return // raw deflate data, perhaps
		}
	}
}

// isZlibHeader checks the two bytes as RFC 1950 says: method 8 and a multiple of 31.
func isZlibHeader(cmf, flg byte) bool {
	return cmf&0x0f == 8 && (uint(cmf)<<8|uint(flg))%31 == 0
}

// fill reads more of the source behind what is there, and reports whether it did.
func (f *inflater) fill() bool {
	if f.ended != nil {
		return false
	}
	f.readAt += int64(f.at)
	rest := copy(f.in[:cap(f.in)], f.in[f.at:])
	f.in, f.at = f.in[:rest], 0
	n, err := f.src.Read(f.in[rest:cap(f.in)])
	f.in, f.ended = f.in[:rest+n], err
	return n > 0 || err == nil
}

// need makes at least n bits available, up to 56. Otherwise f.err says why not.
func (f *inflater) need(n uint) bool {
	for f.nbits < n {
		if f.at == len(f.in) && !f.fill() {
			f.err = f.ended
			if f.err == io.EOF {
				f.err = io.ErrUnexpectedEOF
			}
			return false
		}
		if f.at < len(f.in) {
			f.bits |= uint64(f.in[f.at]) << f.nbits
			f.at++
			f.nbits += 8
		}
	}
	return true
}

func (f *inflater) take(n uint) uint {
	v := uint(f.bits & (1<<n - 1))
	f.bits >>= n
	f.nbits -= n
	return v
}

// corrupt ends the data.
func (f *inflater) corrupt() {
	f.err = flate.CorruptInputError(f.readAt + int64(f.at) - int64(f.nbits/8))
}

func (f *inflater) read(p []byte) (int, error) {
	for f.given == len(f.out) && f.err == nil {
		f.advance()
	}
	n := copy(p, f.out[f.given:])
	f.given += n
	if f.given < len(f.out) {
		return n, nil
	}
	return n, f.err
}

// advance decodes until the window is full or the data end.
func (f *inflater) advance() {
	if cap(f.out)-len(f.out) < 2*slack {
		f.out = f.out[:copy(f.out, f.out[len(f.out)-inflateWindow:])]
		f.given = len(f.out)
	}
	for f.err == nil && cap(f.out)-len(f.out) >= 2*slack {
		switch {
		case f.stored > 0:
			f.copyStored()
		case f.coded:
			f.symbols()
		case f.final:
			f.err = io.EOF
		default:
			f.block()
		}
	}
}

// block reads the head of a block (3.2.3).
func (f *inflater) block() {
	if !f.need(3) {
		return
	}
	f.final = f.take(1) == 1
	switch f.take(2) {
	case 0:
		f.take(f.nbits % 8)
		if !f.need(32) {
			return
		}
		n := f.take(16)
		if f.take(16) != n^0xffff {
			f.corrupt()
			return
		}
		f.stored = int(n)
	case 1:
		f.coded, f.use = true, fixed()
	case 2:
		f.coded, f.use = true, f.tables
		f.codes()
	default:
		f.corrupt()
	}
}

// copyStored copies of a stored block what there is and what has room.
func (f *inflater) copyStored() {
	for f.nbits >= 8 && f.stored > 0 {
		f.out = append(f.out, byte(f.take(8)))
		f.stored--
	}
	if f.stored == 0 {
		return
	}
	if f.at == len(f.in) && !f.fill() {
		f.need(1) // says why
		return
	}
	n := min(f.stored, len(f.in)-f.at, cap(f.out)-len(f.out))
	f.out = append(f.out, f.in[f.at:f.at+n]...)
	f.at += n
	f.stored -= n
}

// symbols decodes codes (3.2.5) until the block ends or the room does.
func (f *inflater) symbols() {
	for f.err == nil && f.coded && cap(f.out)-len(f.out) >= 2*slack {
		if len(f.in)-f.at < 2*slack {
			f.fill()
		}
		f.quick()
		if f.err == nil && f.coded {
			f.symbol()
		}
	}
}

// symbol decodes one symbol, at whose end the data may end.
func (f *inflater) symbol() {
	e, ok := f.code(&f.use.lits)
	if !ok {
		return
	}
	if e.literals() > 0 {
		f.out = append(f.out, byte(e>>8))
		return
	}
	if e.ends() {
		f.coded = false
		return
	}
	length, ok := f.value(e)
	if !ok {
		return
	}
	if e, ok = f.code(&f.use.dists); !ok {
		return
	}
	distance, ok := f.value(e)
	if !ok {
		return
	}
	if distance > len(f.out) {
		f.corrupt()
		return
	}
	for range length {
		f.out = append(f.out, f.out[len(f.out)-distance])
	}
}

// code decodes one code. Zeros stand for what hasn't been read yet, and shorter codes
// are lesser numbers, so that no more is asked for than there must be.
func (f *inflater) code(t *table) (e entry, ok bool) {
	for n := uint(1); f.need(n); {
		e, n = t.one(f.bits)
		switch {
		case e == 0 && f.nbits >= maxCode:
			f.corrupt()
			return 0, false
		case e == 0:
			n = f.nbits + 1
		case n <= f.nbits:
			f.take(n)
			return e, true
		}
	}
	return 0, false
}

// value adds the bits that follow a code to the least that it stands for.
func (f *inflater) value(e entry) (int, bool) {
	if !f.need(e.extra()) {
		return 0, false
	}
	return int(e.base()) + int(f.take(e.extra())), true
}

// quick decodes as long as neither input nor room can end within a symbol.
func (f *inflater) quick() {
	in, at, bits, nbits := f.in, f.at, f.bits, f.nbits
	out, to := f.out[:cap(f.out)], len(f.out)
	lits, dists := &f.use.lits, &f.use.dists
	for at+slack <= len(in) && to+slack <= len(out) {
		bits |= binary.LittleEndian.Uint64(in[at:]) << (nbits & 63)
		at += int(63-nbits) >> 3
		nbits |= 56 // of 56 bits and more, what lies beyond is read again, and is the same
		e := lits.entries[bits&tableMask]
		for range 4 { // each takes up to 11 bits
			if e.literals() == 0 {
				break
			}
			binary.LittleEndian.PutUint32(out[to:], uint32(e>>8))
			to += e.literals()
			bits >>= e.bits() & 63
			nbits -= e.bits()
			e = lits.entries[bits&tableMask]
		}
		if e.literals() > 0 {
			continue
		}
		bits |= binary.LittleEndian.Uint64(in[at:]) << (nbits & 63)
		at += int(63-nbits) >> 3
		nbits |= 56
		if e.links() {
			e = lits.linked(e, bits)
		}
		if e.literals() > 0 {
			out[to] = byte(e >> 8)
			to++
			bits >>= e.bits() & 63
			nbits -= e.bits()
			continue
		}
		if e == 0 || e.ends() {
			break
		}
		bits >>= e.bits() & 63
		nbits -= e.bits()
		length := int(e.base()) + int(bits&(1<<(e.extra()&63)-1))
		bits >>= e.extra() & 63
		nbits -= e.extra()
		d := dists.entries[bits&tableMask]
		if d.links() {
			d = dists.linked(d, bits)
		}
		distance := int(d.base()) + int(bits>>(d.bits()&63)&(1<<(d.extra()&63)-1))
		if d == 0 || distance > to {
			f.at, f.bits, f.nbits, f.out = at, bits&(1<<nbits-1), nbits, out[:to]
			f.corrupt()
			return
		}
		bits >>= (d.bits() + d.extra()) & 63
		nbits -= d.bits() + d.extra()
		repeat(out, to, distance, length)
		to += length
	}
	f.at, f.bits, f.nbits, f.out = at, bits&(1<<nbits-1), nbits, out[:to]
	// What was read beyond whole bytes goes back, so that a stored block finds them.
	f.at -= int(f.nbits / 8)
	f.nbits %= 8
	f.bits &= 1<<f.nbits - 1
}

// repeat copies length bytes from so far back; it may write some more.
func repeat(out []byte, to, distance, length int) {
	if distance >= 8 {
		from := to - distance
		for end := to + length; to < end; to, from = to+8, from+8 {
			binary.LittleEndian.PutUint64(out[to:], binary.LittleEndian.Uint64(out[from:]))
		}
		return
	}
	for range length {
		out[to] = out[to-distance]
		to++
	}
}
