package mark

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// laneList names lanes: "lane 3", "lanes 1, 2 and 5".
func laneList(lanes map[int]bool) string {
	words := []string{}
	for _, n := range slices.Sorted(maps.Keys(lanes)) {
		words = append(words, fmt.Sprint(n))
	}
	if len(words) == 1 {
		return "lane " + words[0]
	}
	return "lanes " + strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

func crosses(n int) string {
	if n == 1 {
		return "crosses"
	}
	return "cross"
}

// counted gives "1 patch", "3 patches".
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
