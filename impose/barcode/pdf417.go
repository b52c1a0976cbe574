package barcode

import (
	"image/color"
	"strings"
	"sync"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/pdf417"
)

// mendable reports whether a symbol of so many rows comes out right.
func mendable(rows int) bool { return rows%3 == 0 || indicators()[[2]int{0, (rows - 1) / 3}] != nil }

// mended is a PDF417 of the library with the left row indicators of every third
// row put right: they say a third of the rows less one, rounded down, and the
// library takes the rows less three (ISO/IEC 15438 5.11.3; from memory). The two
// differ unless the rows are a multiple of three, and strict readers refuse such
// symbols.
type mended struct {
	barcode.Barcode
	rows int
}

// The modules of the left row indicator, behind the start pattern.
const indicatorFrom, indicatorEnd = 17, 34

// At returns the colour of a module.
func (m mended) At(x, y int) color.Color {
	row := y / libraryGives
	if x < indicatorFrom || x >= indicatorEnd || row%3 != 0 {
		return m.Barcode.At(x, y)
	}
	if right := indicators()[[2]int{row / 3, (m.rows - 1) / 3}]; right != nil {
		return right.At(x, 3*(row/3)*libraryGives)
	}
	return m.Barcode.At(x, y)
}

// indicators gives symbols whose rows are a multiple of three, by the third of a
// row and that of all less one: there the library's indicators are right.
var indicators = sync.OnceValue(func() map[[2]int]barcode.Barcode {
	found := map[[2]int]barcode.Barcode{}
	const tallest = 27 // rows that are a multiple of three, which the library makes
	for n := 1; n < 900 && len(found) < tallest/3*(tallest/3+1)/2; n += 3 {
		for level := byte(0); level < 7; level++ {
			code, err := pdf417.Encode(strings.Repeat("A", n), level)
			if err != nil {
				continue
			}
			rows := code.Bounds().Dy() / libraryGives
			for third := range rows / 3 {
				if rows%3 == 0 && found[[2]int{third, rows/3 - 1}] == nil {
					found[[2]int{third, rows/3 - 1}] = code
				}
			}
		}
	}
	return found
})
