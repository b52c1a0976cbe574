package say

import "strings"

// Alike reports whether two texts say the same of two things: at least half of
// the words of both are those that they begin and end with alike.
func Alike(a, b string) bool {
	x, y := strings.Fields(a), strings.Fields(b)
	from, to := common(x, y)
	return 2*(from+to) >= max(len(x), len(y))
}

// Merged makes one text of texts that are alike. Where one word differs, its
// forms are listed where it stands; where more do, the whole clauses are, so that
// each can be read for itself.
func Merged(texts []string) string {
	if len(texts) == 1 {
		return texts[0]
	}
	first := strings.Fields(texts[0])
	from, to := len(first), len(first)
	for _, t := range texts[1:] {
		f, e := common(first, strings.Fields(t))
		from, to = min(from, f), min(to, e)
	}
	joint := ", "
	for _, t := range texts {
		if len(strings.Fields(t))-from-to > 1 {
			joint = "; "
		}
	}
	closing := ""
	if joint == "; " {
		for from > 0 && !strings.ContainsAny(first[from-1][len(first[from-1])-1:], ".:;") {
			from--
		}
		for to > 0 {
			word := first[len(first)-to]
			to--
			if end := word[len(word)-1:]; strings.ContainsAny(end, ".:;") {
				closing = end
				break
			}
		}
	}
	if joint == ", " { // one word each, which may end the clause: it ends once
		closing = ending(texts, from)
	}
	var differ []string
	for _, t := range texts {
		words := strings.Fields(t)
		differ = append(differ, strings.TrimSuffix(strings.Join(words[from:len(words)-to], " "), closing))
	}
	parts := append([]string{}, first[:from]...)
	parts = append(parts, strings.Join(differ, joint)+closing)
	return strings.Join(append(parts, first[len(first)-to:]...), " ")
}

// ending returns the mark that the n-th word of every text ends with, or "".
func ending(texts []string, n int) string {
	mark := ""
	for i, t := range texts {
		words := strings.Fields(t)
		if n >= len(words) {
			return ""
		}
		end := words[n][len(words[n])-1:]
		if !strings.ContainsAny(end, ".,:;") || i > 0 && end != mark {
			return ""
		}
		mark = end
	}
	return mark
}

// common returns how many words two texts begin and end with alike. No word
// counts twice.
func common(a, b []string) (from, to int) {
	n := min(len(a), len(b))
	for from < n && a[from] == b[from] {
		from++
	}
	for to < n-from && a[len(a)-1-to] == b[len(b)-1-to] {
		to++
	}
	return from, to
}
