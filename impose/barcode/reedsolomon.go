package barcode

import "sync"

// field is GF(256) with its primitive polynomial and the power of the first
// root of the codes' generators.
type field struct {
	exp   [510]byte
	log   [256]int
	first int
}

// The fields of the two matrix symbologies: ISO/IEC 18004 7.5.2 and
// ISO/IEC 16022 5.7.1.
func qrField() *field     { return newField(0x11d, 0) }
func matrixField() *field { return newField(0x12d, 1) }

func newField(poly, first int) *field {
	f := &field{first: first}
	x := 1
	for i := range 255 {
		f.exp[i], f.exp[i+255] = byte(x), byte(x)
		f.log[x] = i
		if x <<= 1; x > 255 {
			x ^= poly
		}
	}
	return f
}

func (f *field) times(a, b byte) byte {
	if a == 0 || b == 0 {
		return 0
	}
	return f.exp[f.log[a]+f.log[b]]
}

// mostChecks is the most check codewords of one block, Data Matrix 48 x 48.
const mostChecks = 68

// code works out the check codewords of one block.
type code struct {
	checks int
	rows   [256][mostChecks]byte // each multiple of the generator without its first term
}

func newCode(f *field, checks int) *code {
	generator := []byte{1}
	for i := range checks {
		root := f.exp[(i+f.first)%255]
		next := append(generator[:len(generator):len(generator)], 0)
		for j, c := range generator {
			next[j+1] ^= f.times(c, root)
		}
		generator = next
	}
	c := &code{checks: checks}
	for v := range c.rows {
		for j := range checks {
			c.rows[v][j] = f.times(generator[j+1], byte(v))
		}
	}
	return c
}

// append adds the check codewords of a block to dst.
func (c *code) append(dst, block []byte) []byte {
	var rest [mostChecks + 1]byte
	for _, d := range block {
		row := &c.rows[d^rest[0]]
		for j := range c.checks {
			rest[j] = rest[j+1] ^ row[j]
		}
	}
	return append(dst, rest[:c.checks]...)
}

// codes are built when first needed.
type codes struct {
	field func() *field
	once  [mostChecks + 1]sync.Once
	made  [mostChecks + 1]*code
}

var qrCodes, matrixCodes = codes{field: qrField}, codes{field: matrixField}

func (c *codes) of(checks int) *code {
	c.once[checks].Do(func() { c.made[checks] = newCode(c.field(), checks) })
	return c.made[checks]
}
