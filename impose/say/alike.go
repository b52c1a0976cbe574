package say

import "strings"

// Alike reports whether two texts say the same of two things: at least half of
// the words of both are those that they begin and end with alike.
func Alike(a, b string) bool {
	x, y := strings.Fields(a), strings.Fields(b)
	from, to := common(x, y)
	return 2*(from+to) >= max(len(x), len(y))
}

// Merged makes one text of texts that are alike: what differs is listed where it
// stands, parted by commas, or by semicolons where it is more than a word.
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
	var differ []string
	joint := ", "
	for _, t := range texts {
		words := strings.Fields(t)
		if len(words)-from-to > 1 {
			joint = "; "
		}
		differ = append(differ, strings.Join(words[from:len(words)-to], " "))
	}
	parts := append([]string{}, first[:from]...)
	parts = append(parts, strings.Join(differ, joint))
	return strings.Join(append(parts, first[len(first)-to:]...), " ")
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
