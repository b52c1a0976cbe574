package barcode

import "quoin/impose/say"

// limitedGroups are of the two characters of 26 modules in a DataBar Limited.
var limitedGroups = []barGroup{
	{0, 28, 17, 6}, {183_064, 728, 13, 5}, {820_064, 6454, 9, 3}, {1_000_776, 203, 15, 5}, {1_491_021, 2408, 11, 4}, {1_979_845, 1, 19, 8}, {1_996_939, 16_632, 7, 1},
}

// limitedChecks are those of the 441 pairs of six bars and six spaces, eight
// modules each, that stand for the check values 0 to 88, as ranges.
var limitedChecks = [][2]int{
	{0, 43}, {45, 45}, {52, 52}, {57, 57}, {63, 66}, {73, 79}, {82, 82}, {126, 130}, {132, 132}, {141, 146}, {210, 217}, {220, 220}, {316, 320}, {322, 323}, {326, 326}, {337, 337},
}

// encodeLimited makes a DataBar Limited, whose number begins with 0 or 1.
func (e *Encoder) encodeLimited(data string) error {
	value, err := itemValue(data)
	if err != nil {
		return err
	}
	if data[0] > '1' {
		return say.Refuse(say.Failed, "take another gs1-databar", "a GTIN that begins with %c has no DataBar Limited: it begins with 0 or 1", data[0])
	}
	const pair, modulus = 2_013_571, 89
	var chars [2][14]uint8
	sum, weight := 0, 1
	for i, v := range []int{value / pair, value % pair} {
		g, v := groupOf(limitedGroups, v)
		odd := elementWidths(v/g.share, g.odd, 7, g.widest, true)
		even := elementWidths(v%g.share, 26-g.odd, 7, 9-g.widest, false)
		for j := range 7 {
			chars[i][2*j], chars[i][2*j+1] = odd[j], even[j]
		}
		for _, w := range chars[i] {
			sum, weight = (sum+weight*int(w))%modulus, weight*3%modulus
		}
	}
	bars := append(e.symbol.Bars[:0], 1) // behind a space
	bars = append(bars, chars[0][:]...)
	spaces := elementWidths(limitedCheck(sum)/21, 8, 6, 3, true)
	dark := elementWidths(limitedCheck(sum)%21, 8, 6, 3, true)
	for i := range 6 {
		bars = append(bars, spaces[i], dark[i])
	}
	bars = append(bars, 1, 1)
	bars = append(bars, chars[1][:]...)
	e.symbol.Bars = append(bars, 1, 1)
	return nil
}

func limitedCheck(value int) int {
	for _, r := range limitedChecks {
		if n := r[1] - r[0] + 1; value < n {
			return r[0] + value
		} else {
			value -= n
		}
	}
	return 0 // never: the ranges hold 89
}
