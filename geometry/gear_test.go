package geometry

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

var eighth = CircularPitch(Inch / 8)

// Repeats of a gear of 1/8 inch circular pitch: one tooth is 1/8 inch and an
// inch 25.4 mm (FTA, Flexography: Principles and Practices, vol. 1, p. 85; F.
// Burgos, CP versus DP, flexoexchange.com), so each value is plain arithmetic.
func TestEighthInchRepeats(t *testing.T) {
	for _, c := range []struct {
		teeth  int
		in, mm string
	}{
		{60, "7.500", "190.500"}, {68, "8.500", "215.900"}, {72, "9.000", "228.600"}, {76, "9.500", "241.300"},
		{80, "10.000", "254.000"}, {84, "10.500", "266.700"}, {88, "11.000", "279.400"}, {96, "12.000", "304.800"},
		{100, "12.500", "317.500"}, {104, "13.000", "330.200"}, {112, "14.000", "355.600"}, {120, "15.000", "381.000"},
		{128, "16.000", "406.400"}, {144, "18.000", "457.200"}, {160, "20.000", "508.000"}, {192, "24.000", "609.600"},
		{256, "32.000", "812.800"}, {312, "39.000", "990.600"},
	} {
		got := eighth.Repeat(c.teeth)
		in, mm := mustLength(t, c.in+"in"), mustLength(t, c.mm+"mm")
		if got != in || got != mm {
			t.Errorf("%d teeth: got %v, want %s in = %s mm", c.teeth, got, c.in, c.mm)
		}
	}
}

func mustLength(t tester, text string) Length {
	t.Helper()
	l, err := ParseLength(text)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func inches(l Length, digits int) string { return fmt.Sprintf("%.*f", digits, l.MM()/25.4) }

func TestGears(t *testing.T) {
	// TV-G1, published: 754 teeth of 1/4 inch CP have a circumference of 188.5
	// inch. FTA, Flexography: Principles and Practices, vol. 1, p. 85.
	if got := CircularPitch(Inch / 4).Repeat(754); got != mustLength(t, "188.5in") {
		t.Errorf("754 teeth of 1/4 inch: got %v", got)
	}
	// TV-G2, published in the same place: a dual-gear cylinder of 60.001 inch
	// pitch diameter, pi x 60.001 = 188.4987 inch. With 10 DP that is 600.01
	// teeth, so 600 teeth are pi x 60 inch, a shade less.
	if got := inches(FromMM(math.Pi*60.001*25.4), 4); got != "188.4987" {
		t.Errorf("60.001 inch pitch diameter: got %s", got)
	}
	if got := inches(DiametralPitch(10).Repeat(600), 4); got != "188.4956" {
		t.Errorf("600 teeth of 10 DP: got %s", got)
	}
	// TV-G3 to G7: arithmetic from the definitions in Gear.
	if got := eighth.Repeat(82); got.String() != "260.35 mm" || inches(got, 2) != "10.25" {
		t.Errorf("82 teeth: got %v", got)
	}
	if got := eighth.TeethFor(mustLength(t, "7.5in")); got != 60 {
		t.Errorf("7.5 inch of 1/8 inch CP: got %d teeth, want exactly 60", got)
	}
	dp := DiametralPitch(32)
	if got := dp.TeethFor(mustLength(t, "7.5in")); got != 77 || inches(dp.Repeat(got), 4) != "7.5595" {
		t.Errorf("7.5 inch of 32 DP: got %d teeth, %v", got, dp.Repeat(got))
	}
	if got := Module(Millimetre).Repeat(100); fmt.Sprintf("%.4f", got.MM()) != "314.1593" {
		t.Errorf("100 teeth of module 1: got %v", got)
	}
	if got := eighth.TeethWithin(Metre); got != 314 || eighth.Repeat(got).String() != "996.95 mm" || eighth.Repeat(got+1).String() != "1000.125 mm" {
		t.Errorf("1 m of 1/8 inch CP: got %d teeth", got)
	}
	// One tooth of 10 DP is 7.9796 mm, one of 32 DP 2.4936 mm.
	if a, b := DiametralPitch(10).Repeat(1), dp.Repeat(1); fmt.Sprintf("%.4f %.4f", a.MM(), b.MM()) != "7.9796 2.4936" {
		t.Errorf("teeth of 10 and 32 DP: got %v and %v", a, b)
	}
}

func TestCylinderChecks(t *testing.T) {
	if err := (Cylinder{96, eighth}).Check(); err != nil {
		t.Error(err)
	}
	if got := (Cylinder{96, eighth}).Repeat(); got.String() != "304.8 mm" {
		t.Errorf("got %v", got)
	}
	for _, c := range []Cylinder{
		{0, eighth}, {-1, eighth}, {1 << 60, eighth}, {96, Gear{}}, {96, CircularPitch(-Inch)},
		{96, DiametralPitch(0)}, {96, DiametralPitch(-32)}, {96, DiametralPitch(math.NaN())},
		{96, DiametralPitch(math.Inf(1))}, {96, Module(0)}, {96, Module(10 * Metre)},
	} {
		err := c.Check()
		if e, ok := err.(interface{ Hint() string }); !ok || e.Hint() == "" {
			t.Errorf("%v: got %v, want an error with a hint", c, err)
		}
		if c.Gear.Check() != nil && (c.Gear.TeethFor(Metre) != 0 || c.Gear.TeethWithin(Metre) != 0) {
			t.Errorf("%v has teeth", c.Gear)
		}
	}
}

func anyGear() *rapid.Generator[Gear] {
	return rapid.Custom(func(t *rapid.T) Gear {
		switch rapid.IntRange(0, 2).Draw(t, "system") {
		case 0:
			return CircularPitch(Length(rapid.Int64Range(int64(Micrometre), int64(20*Millimetre)).Draw(t, "pitch")))
		case 1:
			return DiametralPitch(float64(rapid.IntRange(1, 2000).Draw(t, "dp")) / 10)
		}
		return Module(Length(rapid.Int64Range(int64(Micrometre), int64(20*Millimetre)).Draw(t, "module")))
	})
}

func TestTeethAreLeastAndMost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGear().Draw(t, "gear")
		l := Length(rapid.Int64Range(1, int64(2*Metre)).Draw(t, "length"))
		if exact := rapid.IntRange(0, 500).Draw(t, "exact"); exact > 0 {
			l = g.Repeat(exact) // the edge where rounding would show
		}
		up, down := g.TeethFor(l), g.TeethWithin(l)
		if g.Repeat(up) < l || g.Repeat(up-1) >= l {
			t.Fatalf("%d teeth of %v are not the least for %v", up, g, l)
		}
		if g.Repeat(down) > l || g.Repeat(down+1) <= l {
			t.Fatalf("%d teeth of %v are not the most within %v", down, g, l)
		}
	})
}

func TestParseGear(t *testing.T) {
	for text, want := range map[string]Gear{
		"1/8in": eighth, "1/8 in CP": eighth, "3.175mm CP": eighth, "3.175mm cp": eighth, "0.25in": CircularPitch(Inch / 4),
		"32 DP": DiametralPitch(32), "32dp": DiametralPitch(32), "12.5 DP": DiametralPitch(12.5),
		"module 1": Module(Millimetre), "Module 1.5": Module(1_500_000), "M1": Module(Millimetre), "module 1mm": Module(Millimetre),
	} {
		if got, err := ParseGear(text); err != nil || got != want {
			t.Errorf("%q: got %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "CP", "DP", "M", "32", "3.175", "0mm", "-1/8in", "0 DP", "-1 DP", "nan DP", "inf DP", "0x2 DP", "1e3 DP", "module 1in", "module 0", "5 teeth"} {
		g, err := ParseGear(text)
		if e, ok := err.(*NotationError); !ok || e.Text != text || e.Hint() == "" {
			t.Errorf("%q: got %v, %v; want a NotationError with a hint", text, g, err)
		}
	}
}

func TestGearRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGear().Draw(t, "gear")
		text, err := g.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		var back Gear
		if err := back.UnmarshalText(text); err != nil || back != g {
			t.Fatalf("%v came back from %q as %v, %v", g, text, back, err)
		}
	})
}
