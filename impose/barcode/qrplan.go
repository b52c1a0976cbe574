package barcode

import "sync"

const maxVersion = 40

// qrCheckWords and qrBlocks give the check codewords of a block and the number
// of blocks by level and version (ISO/IEC 18004 table 9).
var qrCheckWords = [4][maxVersion]uint8{
	{7, 10, 15, 20, 26, 18, 20, 24, 30, 18, 20, 24, 26, 30, 22, 24, 28, 30, 28, 28, 28, 28, 30, 30, 26, 28, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30},
	{10, 16, 26, 18, 24, 16, 18, 22, 22, 26, 30, 22, 22, 24, 24, 28, 28, 26, 26, 26, 26, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28},
	{13, 22, 18, 26, 18, 24, 18, 22, 20, 24, 28, 26, 24, 20, 30, 24, 28, 28, 26, 30, 28, 30, 30, 30, 30, 28, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30},
	{17, 28, 22, 16, 22, 28, 26, 26, 24, 28, 24, 28, 22, 24, 24, 30, 28, 28, 26, 28, 30, 24, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30},
}

var qrBlocks = [4][maxVersion]uint8{
	{1, 1, 1, 1, 1, 2, 2, 2, 2, 4, 4, 4, 4, 4, 6, 6, 6, 6, 7, 8, 8, 9, 9, 10, 12, 12, 12, 13, 14, 15, 16, 17, 18, 19, 19, 20, 21, 22, 24, 25},
	{1, 1, 1, 2, 2, 4, 4, 4, 5, 5, 5, 8, 9, 9, 10, 10, 11, 13, 14, 16, 17, 17, 18, 20, 21, 23, 25, 26, 28, 29, 31, 33, 35, 37, 38, 40, 43, 45, 47, 49},
	{1, 1, 2, 2, 4, 4, 6, 6, 8, 8, 8, 10, 12, 16, 12, 17, 16, 18, 21, 20, 23, 23, 25, 27, 29, 34, 34, 35, 38, 40, 43, 45, 48, 51, 53, 56, 59, 62, 65, 68},
	{1, 1, 2, 4, 4, 4, 5, 6, 8, 8, 11, 11, 16, 16, 18, 16, 19, 21, 25, 25, 25, 34, 30, 32, 35, 37, 40, 42, 45, 48, 51, 54, 57, 60, 63, 66, 70, 74, 77, 81},
}

// qrRoom gives the modules that are free for data, before whole codewords.
func qrRoom(version int) int {
	size := 4*version + 17
	room := size*size - 3*64 - 2*15 - 1 - 2*(size-16)
	if marks := len(alignments(version)); marks > 0 {
		// Each mark takes 25 modules but for the three under finders; those on
		// the timing lines share five with them.
		room -= (marks*marks-3)*25 - (marks-2)*2*5
	}
	if version >= 7 {
		room -= 2 * 18
	}
	return room
}

// qrData gives the data codewords of a version and level.
func qrData(version, level int) int {
	return qrRoom(version)/8 - int(qrCheckWords[level][version-1])*int(qrBlocks[level][version-1])
}

// alignments gives the rows and columns in which alignment marks are centred
// (ISO/IEC 18004 annex E): evenly spaced from the far end by even steps.
func alignments(version int) []int {
	if version == 1 {
		return nil
	}
	count := version/7 + 2
	step := (version*4 + count*2 + 1) / (count*2 - 2) * 2
	if version == 32 {
		step = 26
	}
	at := make([]int, count)
	at[0] = 6
	for i, p := count-1, 4*version+10; i > 0; i, p = i-1, p-step {
		at[i] = p
	}
	return at
}

// qrPlan is everything about a version and level that no data change.
type qrPlan struct {
	size         int
	data, checks int // codewords in all, and of each block
	blocks       int
	fixed        [2][]uint64    // finders, timing, alignment: by rows, by columns
	order        []uint16       // row * size + column of each data bit
	masks        [8][2][]uint64 // with the format information of each
}

var qrPlans [4][maxVersion]struct {
	once sync.Once
	plan *qrPlan
}

func qrPlanOf(version, level int) *qrPlan {
	p := &qrPlans[level][version-1]
	p.once.Do(func() { p.plan = newQRPlan(version, level) })
	return p.plan
}

func newQRPlan(version, level int) *qrPlan {
	d := newQRDraft(version)
	d.finders()
	d.timing()
	d.alignment(version)
	d.versionInfo(version)
	d.reserveFormat()
	p := &qrPlan{
		size: d.size, data: qrData(version, level),
		checks: int(qrCheckWords[level][version-1]), blocks: int(qrBlocks[level][version-1]),
		order: d.order(),
	}
	p.fixed = d.dark
	for m := range p.masks {
		mask := newQRDraft(version)
		for _, at := range p.order {
			row, col := int(at)/d.size, int(at)%d.size
			if masked(m, row, col) {
				mask.put(col, row, true)
			}
		}
		mask.format(level, m)
		p.masks[m] = mask.dark
	}
	return p
}

// masked reports whether the mask turns a module over (ISO/IEC 18004 table 10).
func masked(mask, i, j int) bool {
	switch mask {
	case 0:
		return (i+j)%2 == 0
	case 1:
		return i%2 == 0
	case 2:
		return j%3 == 0
	case 3:
		return (i+j)%3 == 0
	case 4:
		return (i/2+j/3)%2 == 0
	case 5:
		return i*j%2+i*j%3 == 0
	case 6:
		return (i*j%2+i*j%3)%2 == 0
	}
	return ((i+j)%2+i*j%3)%2 == 0
}
