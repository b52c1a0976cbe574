package barcode

import (
	"sync"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode/decoder"
	"github.com/makiuchi-d/gozxing/qrcode/encoder"
)

const maxVersion = 40

var qrLevels = [4]decoder.ErrorCorrectionLevel{
	decoder.ErrorCorrectionLevel_L, decoder.ErrorCorrectionLevel_M, decoder.ErrorCorrectionLevel_Q, decoder.ErrorCorrectionLevel_H,
}

// qrTable returns a version, 1 to 40, and its blocks at a level (ISO/IEC 18004 tables
// 1 and 9), as the library holds them.
func qrTable(version, level int) (*decoder.Version, *decoder.ECBlocks) {
	v, _ := decoder.Version_GetVersionForNumber(version)
	return v, v.GetECBlocksForLevel(qrLevels[level])
}

// qrData returns the data codewords of a version and level.
func qrData(version, level int) int {
	v, blocks := qrTable(version, level)
	return v.GetTotalCodewords() - blocks.GetTotalECCodewords()
}

// qrPlan is everything about a version and level that no data change.
type qrPlan struct {
	size         int
	data, checks int // codewords in all, and of each block
	blocks       int
	order        []uint16       // row * size + column of each data bit
	masks        [8][2][]uint64 // each as it lies over no data, with all that is fixed: by rows, by columns
}

var qrPlans [4][maxVersion]struct {
	once sync.Once
	plan *qrPlan
	err  error
}

func qrPlanOf(version, level int) (*qrPlan, error) {
	p := &qrPlans[level][version-1]
	p.once.Do(func() { p.plan, p.err = newQRPlan(version, level) })
	return p.plan, p.err
}

// newQRPlan has the library draw symbols whose data are all 0 and all 1: they differ
// where data stand.
func newQRPlan(version, level int) (*qrPlan, error) {
	v, blocks := qrTable(version, level)
	p := &qrPlan{
		size: v.GetDimensionForVersion(), data: qrData(version, level),
		checks: blocks.GetECCodewordsPerBlock(), blocks: blocks.GetNumBlocks(),
	}
	drawn, ones := encoder.NewByteMatrix(p.size, p.size), encoder.NewByteMatrix(p.size, p.size)
	data := gozxing.NewBitArray(8 * v.GetTotalCodewords())
	for m := range p.masks {
		if err := encoder.MatrixUtil_buildMatrix(data, qrLevels[level], v, m, drawn); err != nil {
			return nil, err
		}
		p.masks[m] = linesOf(drawn)
	}
	for i := range data.GetSize() {
		data.Set(i)
	}
	if err := encoder.MatrixUtil_buildMatrix(data, qrLevels[level], v, len(p.masks)-1, ones); err != nil {
		return nil, err
	}
	p.order = fillOrder(p.size, func(col, row int) bool { return drawn.Get(col, row) != ones.Get(col, row) })
	return p, nil
}

// linesOf returns the dark modules of a symbol by rows and by columns.
func linesOf(drawn *encoder.ByteMatrix) (lines [2][]uint64) {
	n := drawn.GetWidth()
	s := stride(n)
	lines[0], lines[1] = make([]uint64, n*s), make([]uint64, n*s)
	for row := range n {
		for col := range n {
			if drawn.Get(col, row) == 1 {
				lines[0][row*s+col>>6] |= 1 << (col & 63)
				lines[1][col*s+row>>6] |= 1 << (row & 63)
			}
		}
	}
	return lines
}

// fillOrder returns the free modules as data fill them: in pairs of columns from the
// right, up and down in turn, past the vertical timing line
// (ISO/IEC 18004 7.7.3).
func fillOrder(size int, free func(col, row int) bool) []uint16 {
	var list []uint16
	up := true
	for right := size - 1; right > 0; right -= 2 {
		if right == 6 {
			right--
		}
		for i := range size {
			row := i
			if up {
				row = size - 1 - i
			}
			for col := right; col > right-2; col-- {
				if free(col, row) {
					list = append(list, uint16(row*size+col))
				}
			}
		}
		up = !up
	}
	return list
}
