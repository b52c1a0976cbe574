package job

import (
	"testing"

	"quoin/geometry"
)

// TestInkLimit takes the limit from the job and, where it says none, from the
// press.
func TestInkLimit(t *testing.T) {
	press := &Press{InkLimit: 320 * geometry.Percent}
	for _, c := range []struct {
		text  string
		press *Press
		want  float64
	}{
		{"inks: {limit: 280%}\n", press, 280},
		{"inks: {limit: 280%}\n", nil, 280},
		{"inks: {limit: 280}\n", press, 280},
		{"inks: {limit: 0}\n", press, 320},
		{"inks: {limit: 2001}\n", press, 320},
		{"bleed: 2mm\n", press, 320},
		{"bleed: 2mm\n", nil, 0},
	} {
		j, err := Houses(nil).ParseJob("job.yaml", []byte("artworks: [{file: a.pdf, quantity: 5}]\n"+c.text), nil)
		j.Press = c.press
		if got := j.InkLimit(); got != c.want {
			t.Errorf("%q, press %v: %g %% (%v)", c.text, c.press != nil, got, err)
		}
	}
}
