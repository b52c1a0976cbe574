package job

import "testing"

// TestLabelsPerRoll: an artwork's own rolls go before those of all.
func TestLabelsPerRoll(t *testing.T) {
	j, _ := Houses(nil).ParseJob("j.yaml", []byte("artworks:\n  - file: a.pdf\n    labels-per-roll: 4000\n  - file: b.pdf\nroll: {labels: 2500}\n"), nil)
	if a, b, most := RollLabels(j, 0), RollLabels(j, 1), MostOnRoll(j); a != 4000 || b != 2500 || most != 4000 {
		t.Errorf("%d, %d, at most %d", a, b, most)
	}
	if n := MostOnRoll(&Job{Roll: Roll{Labels: 7}}); n != 7 {
		t.Errorf("without artworks %d", n)
	}
	if _, err := Houses(nil).ParseJob("j.yaml", []byte("artworks:\n  - file: a.pdf\n    labels-per-roll: 0\n"), nil); err == nil {
		t.Error("a roll of no labels is taken")
	}
}
