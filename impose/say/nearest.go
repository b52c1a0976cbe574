package say

import (
	"fmt"
	"math"
	"strings"
)

// Nearest returns the known word that the user most likely meant, or "": the
// same word in capitals or with other separators, one that begins it or is begun
// by it, one that is at most a third of its letters away, or one that it is
// short for.
func Nearest(word string, known []string) string {
	w := Fold(word)
	best, least := "", len(w)/3+1
	for _, k := range known {
		if k == w {
			return k
		}
		if d := distance(w, k); d < least {
			best, least = k, d
		}
	}
	if best != "" {
		return best
	}
	for _, k := range known {
		if len(k) > len(best) && (strings.HasPrefix(w, k+"-") || len(w) > 2 && strings.HasPrefix(k, w+"-")) {
			best = k
		}
	}
	if best != "" {
		return best
	}
	for _, k := range known {
		if shortFor(w, k) {
			if best != "" {
				return "" // may be either
			}
			best = k
		}
	}
	return best
}

// shortFor reports whether a word of three letters or more is a known one with
// letters left out, but neither the first nor the last: "qty" for "quantity".
func shortFor(w, k string) bool {
	if len(w) < 3 || len(w) >= len(k) || w[0] != k[0] || w[len(w)-1] != k[len(k)-1] {
		return false
	}
	for i := 0; i < len(k) && w != ""; i++ {
		if w[0] == k[i] {
			w = w[1:]
		}
	}
	return w == ""
}

// DidYouMean returns the hint for an unknown word: the nearest of the known ones,
// or otherwise if none is near.
func DidYouMean(word string, known []string, otherwise string) string {
	if near := Nearest(word, known); near != "" {
		return fmt.Sprintf("did you mean %s?", near)
	}
	return otherwise
}

// Fold writes a word as keys are written: small letters, joined by hyphens.
func Fold(word string) string {
	return strings.Map(func(r rune) rune {
		if r == '_' || r == ' ' {
			return '-'
		}
		return r
	}, strings.ToLower(strings.TrimSpace(word)))
}

// distance counts the letters to add, drop, change or swap with the next
// (optimal string alignment). Words of more than 40 bytes are never near.
func distance(a, b string) int {
	const limit = 40
	if len(a) > limit || len(b) > limit {
		return math.MaxInt
	}
	var before, last, row [limit + 1]int
	for j := range len(b) + 1 {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
