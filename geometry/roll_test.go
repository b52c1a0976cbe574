package geometry

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TV-R2 to R10: arithmetic on the formulas of Roll, whose sources stand there.
// R9 and R10 take their inputs from published pages.
func TestRollLengths(t *testing.T) {
	for _, c := range []struct{ id, diameter, core, caliper, length string }{
		{"TV-R2", "8in", "3in", "0.006in", "182.867"},
		{"TV-R3", "300mm", "76.2mm", "150um", "440.836"},
		// cal12.calculator.city, number of labels per roll, says 92 m: wrong.
		{"TV-R9", "200mm", "76mm", "100um", "268.795"},
	} {
		r := Roll{mustLength(t, c.core), mustLength(t, c.caliper)}
		is(t, c.id, fmt.Sprintf("%.3f", r.Length(mustLength(t, c.diameter)).Metres()), c.length)
	}
	// TV-R2 in feet.
	feet := Roll{3 * Inch, mustLength(t, "0.006in")}.Length(8*Inch).MM() / 304.8
	is(t, "TV-R2", fmt.Sprintf("%.3f", feet), "599.957")
	// TV-R10, inputs of yourcalculatorhome.com/roll-length-calculator.
	is(t, "TV-R10", inches(Roll{3 * Inch, Inch / 4}.Length(12*Inch), 3), "424.115")
	// TV-R3 again by the average lap: turns x pi x (D + d) / 2.
	r := Roll{mustLength(t, "76.2mm"), mustLength(t, "150um")}
	turns := turnsOf(r, 300*Millimetre)
	is(t, "TV-R3 turns", fmt.Sprintf("%.1f", turns), "746.0")
	is(t, "TV-R3 average lap", fmt.Sprintf("%.3f", turns*math.Pi*(0.3+0.0762)/2), "440.836")
}

// turnsOf counts how often the web goes around the core: each turn adds two
// thicknesses to the diameter.
func turnsOf(r Roll, diameter Length) float64 {
	return float64(diameter-r.Core) / 2 / float64(r.Caliper)
}

func TestRollDiameters(t *testing.T) {
	for _, c := range []struct{ id, web, core, caliper, diameter string }{
		{"TV-R4", "1000m", "76.2mm", "150um", "443.613"},
		{"TV-R5", "500m", "76mm", "140um", "308.063"},
		{"TV-R6", "195.4375m", "76.2mm", "150um", "207.683"}, // 2500 labels of 78.175 mm
		{"TV-R7", "195.4375m", "40mm", "150um", "197.296"},
		{"TV-R7", "195.4375m", "25.4mm", "150um", "194.861"},
	} {
		r := Roll{mustLength(t, c.core), mustLength(t, c.caliper)}
		is(t, c.id, fmt.Sprintf("%.3f", r.Diameter(mustLength(t, c.web)).MM()), c.diameter)
	}
	is(t, "TV-R6 web", (2500 * mustLength(t, "78.175mm")).String(), mustLength(t, "195.4375m").String())
	is(t, "an empty core", Roll{76 * Millimetre, 150 * Micrometre}.Diameter(0), 76*Millimetre)
	is(t, "an empty core", Roll{76 * Millimetre, 150 * Micrometre}.Length(76*Millimetre), 0)
}

func TestLabelsPerRoll(t *testing.T) {
	// TV-R1, published: calculator.academy, labels per roll.
	is(t, "TV-R1", LabelsIn(5000*Inch, mustLength(t, "4.25in")), 1176)
	pitch := mustLength(t, "78.175mm")
	roll := Roll{mustLength(t, "76.2mm"), mustLength(t, "150um")}
	// TV-R8, and TV-R9's labels, where a published page says 1726. Arithmetic.
	n, err := RollRule{Roll: roll, Largest: 300 * Millimetre}.LabelsPerRoll(pitch)
	if n != 5639 || err != nil {
		t.Errorf("TV-R8: got %d, %v", n, err)
	}
	small := Roll{76 * Millimetre, 100 * Micrometre}
	n, err = RollRule{Roll: small, Largest: 200 * Millimetre}.LabelsPerRoll(53 * Millimetre)
	if n != 5071 || err != nil {
		t.Errorf("TV-R9: got %d, %v", n, err)
	}
	// A page (calculatorspot.online, labels per roll) divides the wound area by
	// the pitch instead of the caliper; its number is far off.
	area := math.Pi * (150*150 - 38.1*38.1)
	if wrong := int64(area / pitch.MM()); wrong == 5639 {
		t.Errorf("the wrong formula gives the right number")
	}
	// By count.
	if n, err := (RollRule{Labels: 2500}).LabelsPerRoll(pitch); n != 2500 || err != nil {
		t.Errorf("by count: got %d, %v", n, err)
	}
	if n, err := (RollRule{Roll: roll, Labels: 5639, Largest: 300 * Millimetre}).LabelsPerRoll(pitch); n != 5639 || err != nil {
		t.Errorf("by count under a diameter: got %d, %v", n, err)
	}
}

func TestRollRuleRefuses(t *testing.T) {
	pitch := mustLength(t, "78.175mm")
	roll := Roll{mustLength(t, "76.2mm"), mustLength(t, "150um")}
	for _, c := range []struct {
		rule  RollRule
		pitch Length
		want  string
		hint  string
	}{
		{RollRule{Roll: roll, Labels: 5640, Largest: 300 * Millimetre}, pitch, "5,640 labels 78.175 mm apart make a roll of 300.0", "5,639 labels would fit"},
		{RollRule{Roll: roll, Largest: 70 * Millimetre}, pitch, "1 labels", "0 labels would fit"},
		{RollRule{Roll: roll}, pitch, "the rolls have no size", "labels on a roll"},
		{RollRule{Labels: -1}, pitch, "the rolls have no size", "labels on a roll"},
		{RollRule{Labels: 1, Splices: -1}, pitch, "the rolls have no size", "labels on a roll"},
		{RollRule{Labels: 1 << 62}, pitch, "longer than any roll", "fewer"},
		{RollRule{Labels: 100}, 0, "fill no roll", "pitch"},
		{RollRule{Largest: 300 * Millimetre}, pitch, "a core of 0 mm is impossible", "bore and twice the wall"},
		{RollRule{Roll: Roll{Core: 76 * Millimetre}, Largest: 300 * Millimetre}, pitch, "a caliper of 0 mm is impossible", "150um"},
	} {
		n, err := c.rule.LabelsPerRoll(c.pitch)
		var e *hintError
		if n != 0 || !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) || !strings.Contains(e.Hint(), c.hint) {
			t.Errorf("%+v: got %d, %v", c.rule, n, err)
		}
	}
}

func TestRollThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Roll{
			Core:    Length(rapid.Int64Range(int64(10*Millimetre), int64(200*Millimetre)).Draw(t, "core")),
			Caliper: Length(rapid.Int64Range(int64(10*Micrometre), int64(600*Micrometre)).Draw(t, "caliper")),
		}
		diameter := r.Core + Length(rapid.Int64Range(0, int64(Metre)).Draw(t, "wound"))
		web := r.Length(diameter)
		// Half a nanometre of web moves the diameter by far less than one.
		if back := r.Diameter(web); back-diameter > 1 || diameter-back > 1 {
			t.Fatalf("%v of web wind to %v, not %v", web, back, diameter)
		}
		lap := turnsOf(r, diameter) * math.Pi * float64(diameter+r.Core) / 2
		if off := math.Abs(lap - float64(web)); off > 1+lap*1e-12 {
			t.Fatalf("the average lap gives %v nm, the area %v", lap, web)
		}
		pitch := Length(rapid.Int64Range(int64(5*Millimetre), int64(300*Millimetre)).Draw(t, "pitch"))
		n := LabelsIn(web, pitch)
		if r.Diameter(Length(n)*pitch) > diameter+1 || r.Diameter(Length(n+1)*pitch) < diameter-1 {
			t.Fatalf("%d labels are not the most that %v takes", n, diameter)
		}
	})
}
