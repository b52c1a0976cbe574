package barcode

import (
	"strconv"

	"quoin/impose/checkdigit"
	"quoin/impose/say"
)

// The symbols of ISO/IEC 24724, with its tables from memory: what they give is
// read back by foreign readers, and Limited is compared with another encoder.

// elementWidths returns the widths of a number of elements whose sum is fixed, the
// value-th of all such sets in the standard's order (annex B). Without narrow
// ones are passed over unless narrow says that they are free.
func elementWidths(value, modules, elements, widest int, free bool) [8]uint8 {
	var widths [8]uint8
	narrow := 0
	bar := 0
	for ; bar < elements-1; bar++ {
		narrow |= 1 << bar
		width, less := 1, 0
		for {
			left := elements - bar
			less = combinations(modules-width-1, left-2)
			if !free && narrow == 0 && modules-width-(left-1) >= left-1 {
				less -= combinations(modules-width-left, left-2)
			}
			if left-1 > 1 {
				over := 0
				for w := modules - width - (left - 2); w > widest; w-- {
					over += combinations(modules-width-w-1, left-3)
				}
				less -= over * (left - 1)
			} else if modules-width > widest {
				less--
			}
			if value -= less; value < 0 {
				break
			}
			width++
			narrow &^= 1 << bar
		}
		value += less
		modules -= width
		widths[bar] = uint8(width)
	}
	widths[bar] = uint8(modules)
	return widths
}

func combinations(n, r int) int {
	if r < 0 || n < r {
		return 0
	}
	c := 1
	for i := 1; i <= r; i++ {
		c = c * (n - r + i) / i
	}
	return c
}

// barGroup is a range of values whose characters share their numbers of modules.
type barGroup struct{ from, share, odd, widest int }

// outerGroups and innerGroups are of the characters at the edges and in the
// middle of an omnidirectional symbol: 16 and 15 modules.
var (
	outerGroups = []barGroup{{0, 1, 12, 8}, {161, 10, 10, 6}, {961, 34, 8, 4}, {2015, 70, 6, 3}, {2715, 126, 4, 1}}
	innerGroups = []barGroup{{0, 4, 5, 2}, {336, 20, 7, 4}, {1036, 48, 9, 6}, {1516, 81, 11, 8}}
)

// groupOf returns the group of a value and the value in it.
func groupOf(groups []barGroup, value int) (barGroup, int) {
	i := len(groups) - 1
	for groups[i].from > value {
		i--
	}
	return groups[i], value - groups[i].from
}

// outerChar and innerChar give a character's eight elements.
func outerChar(value int) [8]uint8 {
	g, v := groupOf(outerGroups, value)
	return woven(elementWidths(v/g.share, g.odd, 4, g.widest, true), elementWidths(v%g.share, 16-g.odd, 4, 9-g.widest, false), 4)
}

func innerChar(value int) [8]uint8 {
	g, v := groupOf(innerGroups, value)
	return woven(elementWidths(v%g.share, g.odd, 4, g.widest, false), elementWidths(v/g.share, 15-g.odd, 4, 9-g.widest, true), 4)
}

// woven puts odd and even elements in turn.
func woven(odd, even [8]uint8, n int) (out [8]uint8) {
	for i := range n {
		out[2*i], out[2*i+1] = odd[i], even[i]
	}
	return out
}

// barFinders are the nine finder patterns.
var barFinders = [9][5]uint8{
	{3, 8, 2, 1, 1}, {3, 5, 5, 1, 1}, {3, 3, 7, 1, 1}, {3, 1, 9, 1, 1}, {2, 7, 4, 1, 1}, {2, 5, 6, 1, 1}, {2, 3, 8, 1, 1}, {1, 5, 7, 1, 1}, {1, 3, 9, 1, 1},
}

// barElements returns the 46 elements of the item's number, a space first.
func barElements(item string) (out []uint8, err error) {
	value, err := itemValue(item)
	if err != nil {
		return nil, err
	}
	const pair, inner, modulus = 4_537_077, 1597, 79
	left, right := value/pair, value%pair
	chars := [4][8]uint8{outerChar(left / inner), innerChar(left % inner), outerChar(right / inner), innerChar(right % inner)}
	sum, weight := 0, 1
	for _, c := range chars {
		for _, w := range c {
			sum, weight = (sum+weight*int(w))%modulus, weight*3%modulus
		}
	}
	if sum >= 8 {
		sum++
	}
	if sum >= 72 {
		sum++
	}
	out = append(out, 1, 1)
	out = append(out, chars[0][:]...)
	out = append(out, barFinders[sum/9][:]...)
	out = appendTurned(out, chars[1][:])
	out = append(out, chars[3][:]...)
	out = appendTurned(out, barFinders[sum%9][:])
	out = appendTurned(out, chars[2][:])
	return append(out, 1, 1), nil
}

func appendTurned(dst, widths []uint8) []uint8 {
	for i := len(widths) - 1; i >= 0; i-- {
		dst = append(dst, widths[i])
	}
	return dst
}

// itemValue checks a trade item's number of 14 digits and gives it without its
// check digit.
func itemValue(item string) (int, error) {
	if len(item) != 14 {
		return 0, say.Refuse(say.Failed, "write it with 14 digits, zeros in front", "a GTIN takes 14 digits with the check digit, not %d characters", len(item))
	}
	if err := checkdigit.GS1.Verify(item); err != nil {
		return 0, err
	}
	return strconv.Atoi(item[:13])
}

// encodeDataBar makes a DataBar that holds a trade item's number.
func (e *Encoder) encodeDataBar(data string) error {
	e.symbol.Text = "(01)" + data
	if e.kind == DataBarLimited {
		return e.encodeLimited(data)
	}
	elements, err := barElements(data)
	if err != nil {
		return err
	}
	switch e.kind {
	case DataBarStacked, DataBarStackedOmni:
		e.symbol.Grid.stackBars(elements, e.kind == DataBarStackedOmni)
	default:
		e.symbol.Bars = append(e.symbol.Bars[:0], elements[1:]...) // the first is a space
	}
	return nil
}
