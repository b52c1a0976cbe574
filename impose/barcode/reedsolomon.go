package barcode

import (
	"sync"

	"github.com/makiuchi-d/gozxing/common/reedsolomon"
)

// mostChecks is the most check codewords of one block, Data Matrix 48 x 48.
const mostChecks = 68

// code works out the check codewords of one block.
type code struct {
	checks int
	rows   [256][mostChecks]byte // those of a block of one codeword
}

// newCode asks the library for the check codewords of each block of one codeword,
// which add up to those of any other.
func newCode(f *reedsolomon.GenericGF, checks int) *code {
	c := &code{checks: checks}
	library := reedsolomon.NewReedSolomonEncoder(f)
	block := make([]int, 1+checks)
	for v := range c.rows {
		block[0] = v
		if library.Encode(block, checks) != nil {
			continue // it asks for a block and check codewords, and has both
		}
		for j, w := range block[1:] {
			c.rows[v][j] = byte(w)
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
	field *reedsolomon.GenericGF
	once  [mostChecks + 1]sync.Once
	made  [mostChecks + 1]*code
}

// The fields of the two matrix symbologies: ISO/IEC 18004 7.5.2 and
// ISO/IEC 16022 5.7.1.
var (
	qrCodes     = codes{field: reedsolomon.GenericGF_QR_CODE_FIELD_256}
	matrixCodes = codes{field: reedsolomon.GenericGF_DATA_MATRIX_FIELD_256}
)

func (c *codes) of(checks int) *code {
	c.once[checks].Do(func() { c.made[checks] = newCode(c.field, checks) })
	return c.made[checks]
}
