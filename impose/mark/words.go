package mark

import (
	"maps"
	"slices"

	"quoin/impose/say"
)

// laneList names lanes: "lane 3", "lanes 1, 2 and 5".
func laneList(lanes map[int]bool) string {
	words := say.Numbers(slices.Sorted(maps.Keys(lanes)))
	if len(words) == 1 {
		return "lane " + words[0]
	}
	return "lanes " + say.List(words)
}

func crosses(n int) string {
	if n == 1 {
		return "crosses"
	}
	return "cross"
}
