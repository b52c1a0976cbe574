package say

import (
	"fmt"
	"strings"
)

// Count writes a number and what is counted: "1 lane", "100,000 labels". The
// noun is in the singular; the last word of it is set in the plural.
func Count[N ~int | ~int64](n N, noun string) string { return CountOf(n, noun, Plural(noun)) }

// CountOf is Count for words whose plural is not made at their end.
func CountOf[N ~int | ~int64](n N, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return Number(n) + " " + many
}

// Noun returns a noun as its count asks for, in the singular or the plural.
func Noun[N ~int | ~int64](n N, noun string) string {
	if n == 1 {
		return noun
	}
	return Plural(noun)
}

// Plural returns the plural of an English noun that forms it regularly.
func Plural(noun string) string {
	before, last := noun[:max(len(noun)-2, 0)], noun[max(len(noun)-2, 0):]
	switch {
	case last == "ch", last == "sh", strings.HasSuffix(last, "s"), strings.HasSuffix(last, "x"):
		return noun + "es"
	case strings.HasSuffix(last, "y") && !strings.ContainsAny(last[:len(last)-1], "aeiou"):
		return before + last[:len(last)-1] + "ies"
	}
	return noun + "s"
}

// List joins words as a sentence does: "a", "a and b", "a, b and c".
func List(words []string) string { return joined(words, " and ") }

// Either is List with "or" for the last.
func Either(words []string) string { return joined(words, " or ") }

func joined(words []string, last string) string {
	if n := len(words) - 1; n > 0 {
		return strings.Join(words[:n], ", ") + last + words[n]
	}
	return strings.Join(words, "")
}

// Numbers writes each of several whole numbers.
func Numbers[N ~int | ~int64](list []N) []string {
	words := make([]string, len(list))
	for i, n := range list {
		words[i] = Number(n)
	}
	return words
}

// Title returns a sentence its capital.
func Title(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// Letter names one of several by its number, the first being 1: A, B, ... Z, AA;
// "" for a number below that.
func Letter(n int) (text string) {
	for ; n > 0; n = (n - 1) / 26 {
		text = string(rune('A'+(n-1)%26)) + text
	}
	return text
}

// Where returns a sentence, or part of one, where something holds, and "" elsewhere.
func Where(holds bool, format string, args ...any) string {
	if !holds {
		return ""
	}
	return fmt.Sprintf(format, args...)
}
