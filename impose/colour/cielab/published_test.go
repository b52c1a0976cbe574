package cielab_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"quoin/impose/colour/cgats"
	"quoin/impose/colour/cielab"
	"quoin/impose/witness"
)

// samples reads a published table, which Debian packages carry.
func samples(t *testing.T, path, debian string) []cgats.Sample {
	t.Helper()
	if _, err := os.Stat(path); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%v; apt-get install %s", err, debian)
		}
		t.Skipf("%s is missing: apt-get install %s", path, debian)
	}
	tables, err := cgats.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	s, err := tables[0].Samples()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// FOGRA39L (Debian's icc-profiles-free) gives tone value increases and spot
// colour tone values that were computed apart from this code; curves A and B of
// ISO 12647-2:2004 are 13 % and 16 % at 40 %.
func TestToneValuesOfFOGRA39L(t *testing.T) {
	want := map[float64][8]float64{
		20: {8.7, 7.2, 7.6, 10.2, 17.9, 17.6, 17.0, 15.5},
		40: {14.0, 12.3, 13.1, 16.0, 37.5, 37.8, 36.4, 32.6},
		50: {15.0, 13.7, 14.4, 17.2, 47.8, 48.7, 46.8, 42.0},
		80: {11.0, 10.2, 10.8, 11.5, 80.7, 82.1, 80.5, 73.9},
	}
	ramp := map[[4]float64]cielab.Lab{}
	for _, s := range samples(t, "/usr/share/color/icc/FOGRA39L.ti3", "icc-profiles-free") {
		ramp[*s.CMYK] = s.Lab
	}
	xyz := func(ink int, tint float64) cielab.Lab {
		var v [4]float64
		v[ink] = tint
		if lab, ok := ramp[v]; ok {
			return lab
		}
		// 50 % is not in the table: it stands between 40 and 55 for all but black.
		var low, high float64
		for have := range ramp {
			sum := have[0] + have[1] + have[2] + have[3]
			if have[ink] != sum {
				continue
			}
			if sum < tint {
				low = max(low, sum)
			} else if high == 0 || sum < high {
				high = sum
			}
		}
		a, b := v, v
		a[ink], b[ink] = low, high
		part := (tint - low) / (high - low)
		x, y := ramp[a], ramp[b]
		return cielab.Lab{L: x.L + part*(y.L-x.L), A: x.A + part*(y.A-x.A), B: x.B + part*(y.B-x.B)}
	}
	for tint, w := range want {
		for i := range 4 {
			paper, solid, got := xyz(i, 0), xyz(i, 100), xyz(i, tint)
			tv, err := cielab.ToneValue(cielab.Process(i), paper.XYZ(), solid.XYZ(), got.XYZ())
			near(t, fmt.Sprintf("ink %d at %g %%", i, tint), cielab.Increase(tv, tint), err, w[i], 0.1)
			sctv, err := cielab.SpotToneValue(paper, solid, got)
			near(t, fmt.Sprintf("SCTV of ink %d at %g %%", i, tint), sctv, err, w[4+i], 0.1)
		}
	}
}

// lines reports whether a lamp's curve has lines in it, which bands of 10 nm
// can't hold: no reflectance jumps by a fifth of its range and back.
func lines(v []float64, most float64) bool {
	for i := 1; i < len(v)-1; i++ {
		if v[i]-(v[i-1]+v[i+1])/2 > most/5 {
			return true
		}
	}
	return false
}

// curves gives spectra to sum: those that Debian's argyll publishes (lamps,
// no public set of reflectances being at hand), brought to 0 to 1, and smooth ones of our own.
func curves(t *testing.T) (out []cielab.Spectrum) {
	published, _ := filepath.Glob("/usr/share/color/argyll/ref/*.sp")
	for _, path := range published {
		tables, err := cgats.Read(path)
		if err != nil {
			t.Fatal(err)
		}
		first, most := 0, 0.0
		s := cielab.Spectrum{First: 380, Step: 10}
		for i, f := range tables[0].Fields {
			nm, err := strconv.Atoi(strings.TrimPrefix(f, "SPEC_"))
			if err != nil || nm < 380 || nm > 730 || nm%10 != 0 {
				continue
			}
			v, err := strconv.ParseFloat(tables[0].Rows[0].Values[i], 64)
			if err != nil {
				t.Fatal(err)
			}
			if first == 0 {
				first = nm
			}
			s.Values, most = append(s.Values, v), math.Max(most, v)
		}
		if first != 380 || len(s.Values) != 36 {
			continue // other bands than a spectrophotometer's
		}
		if lines(s.Values, most) {
			continue
		}
		for i := range s.Values {
			s.Values[i] = max(0, s.Values[i]/most)
		}
		out = append(out, s)
	}
	if len(out) < 8 {
		t.Fatalf("only %d published curves found", len(out))
	}
	random := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		s := cielab.Spectrum{First: 380, Step: 10}
		base, rise, at, width := random.Float64(), random.Float64(), 400+300*random.Float64(), 20+100*random.Float64()
		for nm := 380.0; nm <= 730; nm += 10 {
			s.Values = append(s.Values, (base+rise/(1+math.Exp((at-nm)/width)))/2)
		}
		out = append(out, s)
	}
	return out
}

// Spectra turned into CIELAB agree with Argyll's spec2cie to 0.05.
func TestSpectraAgreeWithArgyll(t *testing.T) {
	witness.Need(t, "spec2cie")
	all := curves(t)
	var b strings.Builder
	b.WriteString("CTI3\n\nDEVICE_CLASS \"OUTPUT\"\nCOLOR_REP \"CMYK_XYZ\"\nSPECTRAL_BANDS \"36\"\nSPECTRAL_START_NM \"380\"\nSPECTRAL_END_NM \"730\"\n" +
		"NUMBER_OF_FIELDS 44\nBEGIN_DATA_FORMAT\nSAMPLE_ID CMYK_C CMYK_M CMYK_Y CMYK_K XYZ_X XYZ_Y XYZ_Z")
	for nm := 380; nm <= 730; nm += 10 {
		fmt.Fprintf(&b, " SPEC_%d", nm)
	}
	fmt.Fprintf(&b, "\nEND_DATA_FORMAT\nNUMBER_OF_SETS %d\nBEGIN_DATA\n", len(all))
	for i, s := range all {
		fmt.Fprintf(&b, "%d 0 0 0 0 0 0 0", i+1)
		for _, v := range s.Values {
			fmt.Fprintf(&b, " %.8f", 100*v)
		}
		b.WriteString("\n")
	}
	b.WriteString("END_DATA\n")
	from, to := filepath.Join(t.TempDir(), "in.ti3"), filepath.Join(t.TempDir(), "out.ti3")
	if err := os.WriteFile(from, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	witness.Spec2cie(t, from, to)
	worst := 0.0
	for i, want := range samples(t, to, "argyll") {
		xyz, err := all[i].XYZ()
		if err != nil {
			t.Fatal(err)
		}
		d := cielab.DE76(xyz.Lab(), want.Lab)
		if worst = max(worst, d); d > 0.05 {
			t.Errorf("curve %d: %v, spec2cie says %v", i+1, xyz.Lab(), want.Lab)
		}
	}
	t.Logf("%d curves, at most %.4f apart", len(all), worst)
}
