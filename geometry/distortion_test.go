package geometry

import (
	"fmt"
	"testing"
)

// TV-G28 to G30: arithmetic on the formula of nvpublications.com, plate
// distortion and stretch factors. That the backing is left out is common
// practice, no source.
func TestDistortion(t *testing.T) {
	for _, c := range []struct{ id, repeat, plate, backing, factor string }{
		{"TV-G28", "304.8mm", "1.14mm", "0mm", "0.976500"},
		{"TV-G29", "457.2mm", "1.14mm", "0mm", "0.984333"},
		{"TV-G30", "12in", "0.067in", "0.005in", "0.967537"},
	} {
		factor, err := Plate{mustLength(t, c.plate), mustLength(t, c.backing)}.Distortion(mustLength(t, c.repeat))
		if got := fmt.Sprintf("%.6f", factor); err != nil || got != c.factor {
			t.Errorf("%s: got %s, %v; want %s", c.id, got, err, c.factor)
		}
	}
	is(t, "TV-G28 K", fmt.Sprintf("%.4f", Plate{Thickness: mustLength(t, "1.14mm")}.Stretch().MM()), "7.1628")
	is(t, "TV-G30 K", inches(Plate{mustLength(t, "0.067in"), mustLength(t, "0.005in")}.Stretch(), 6), "0.389557")
	if factor, err := (Plate{}).Distortion(Metre); factor != 1 || err != nil {
		t.Errorf("no plate distorts by %v, %v", factor, err)
	}
}

func TestDistortionRefuses(t *testing.T) {
	for _, c := range []struct {
		plate  Plate
		repeat Length
	}{
		{Plate{-1, 0}, Metre}, {Plate{10, -1}, Metre}, {Plate{10, 11}, Metre}, {Plate{Millimetre, 0}, 0},
		{Plate{Millimetre, 0}, -Metre}, {Plate{Millimetre, 0}, 6 * Millimetre},
	} {
		factor, err := c.plate.Distortion(c.repeat)
		if e, ok := err.(*hintError); !ok || factor != 0 || e.Hint() == "" {
			t.Errorf("%+v on %v: got %v, %v; want an error with a hint", c.plate, c.repeat, factor, err)
		}
	}
}

// Stretch returns K, how much longer the plate's face gets when it is bent, to
// the nearest nanometre.
func (p Plate) Stretch() Length { return roundFloat(p.stretch()) }
