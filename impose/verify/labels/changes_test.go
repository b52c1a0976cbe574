package labels

import (
	"strings"
	"testing"
)

// A lane of a ledger is played: p is a label, c a change-over label, - a station
// that nothing is left for.
func TestChangesStandBehindFullRolls(t *testing.T) {
	for _, c := range []struct{ lane, want string }{
		{"ppccpppccpppcc", ""},
		{"cpppccppp---", ""},
		{"ppccppccppp", "2 labels of a roll stand"},
		{"ppccppppccppp", "4 labels of a roll stand"},
		{"pppcpppccp", "1 change-over labels stand"},
		{"pppcccp", "3 change-over labels stand"},
	} {
		r := &run{}
		r.places.Order.PerRoll, r.places.Order.Change = 3, 2
		out := &Report{}
		along := rolls{r, out, map[int]*stretch{}}
		for i := 0; i < len(c.lane); i += 2 {
			var list []entry
			for row, letter := range c.lane[i:min(i+2, len(c.lane))] {
				e := entry{frame: int64(i/2) + 1, lane: 1, row: row + 1, printed: letter == 'p', change: letter == 'c'}
				list = append(list, e, entry{frame: e.frame, lane: 2, row: e.row})
			}
			along.frame(list)
		}
		along.end()
		said := ""
		for _, d := range out.Differences {
			said += d.Text
		}
		if c.want == "" && said != "" || !strings.Contains(said, c.want) {
			t.Errorf("%s: %q, want %q", c.lane, said, c.want)
		}
		if out.Changes != int64(strings.Count(c.lane, "c")) {
			t.Errorf("%s: %d changes", c.lane, out.Changes)
		}
	}
}
