package colour_test

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/colour"
	"quoin/impose/colour/cielab"
	"quoin/impose/job"
)

// With FOGRA39L (Debian's icc-profiles-free) for its aims, a run that was
// measured as the table has it has the table's tone value increases as its own
// and as its aims: 15.0, 13.7, 14.4 and 17.2 points at 50 %, computed apart from
// this code.
func TestAimsFromACharacterisation(t *testing.T) {
	const path = "/usr/share/color/icc/FOGRA39L.ti3"
	if _, err := os.Stat(path); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%v; apt-get install icc-profiles-free", err)
		}
		t.Skip("apt-get install icc-profiles-free")
	}
	aims := &colour.Aims{}
	if err := aims.UseTable(path); err != nil {
		t.Fatal(err)
	}
	r := frameOf(t, 100)
	all := &colour.Readings{}
	for i := range r.Targets {
		if aim, ok := aims.Of(r, &r.Targets[i]); ok {
			all.List = append(all.List, colour.Reading{Patch: &r.Targets[i], Lab: aim.Lab})
			if !strings.Contains(aim.Source, "FOGRA39L") {
				t.Fatalf("%+v", aim)
			}
		}
	}
	rep := colour.Judge(r, all, aims)
	for i, want := range []float64{15.0, 13.7, 14.4, 17.2} {
		tone := rep.Inks[i].Tones[1]
		if tone.Nominal != 50 || math.Abs(tone.Increase-want) > 0.1 || math.Abs(*tone.Aim-50-want) > 0.1 {
			t.Errorf("%s: %+v, want %g", rep.Inks[i].Name, tone, want)
		}
	}
	// The table's own 50/40/40 is neutral on its paper.
	if len(rep.Greys) != 1 || rep.Greys[0].Patch != "grey 50/40/40" || rep.Greys[0].Neutral > 0.5 {
		t.Errorf("%+v", rep.Greys)
	}
	for _, o := range rep.Overprints {
		if o.Aim == nil || *o.DE00 > 1e-9 {
			t.Errorf("%+v", o)
		}
	}
	if err := aims.UseTable("../../samples/colour/orchard-measured.txt"); err == nil || !strings.Contains(err.Error(), "no CMYK_C") {
		t.Errorf("%v", err)
	}
}

// A reading that only has a time stands where the web was then at the planned
// speed: 60 m/min, so a metre a second from the first reading on.
func TestTimesBecomeMetres(t *testing.T) {
	p, r := demoProfile(t), frameOf(t, 2000)
	var b strings.Builder
	b.WriteString("X\nBEGIN_DATA_FORMAT\nSAMPLE_ID TIME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n")
	for s := 0; s <= 600; s += 30 {
		l := 15.97
		if s > 300 {
			l = 19
		}
		fmt.Fprintf(&b, "7 2026-05-04T23:%02d:%02d+02:00 %g 0 0\n", 50+s/60%10, s%60, l)
		if s == 570 { // and past midnight
			b.WriteString("7 2026-05-05T00:00:00+02:00 19 0 0\n")
			break
		}
	}
	b.WriteString("END_DATA\n")
	rep := judged(t, r, p, b.String())
	if len(rep.Drift) != 1 || rep.Drift[0].Ink != "Black" || rep.Drift[0].FromM != 300 || rep.Drift[0].ToM != 330 {
		t.Errorf("%+v", rep.Drift)
	}
	if !strings.Contains(strings.Join(rep.Notes, "; "), "worked out from times, at the planned 60 m/min") {
		t.Errorf("%q", rep.Notes)
	}
}

// A station less runs faster where the press has such a step: 1,000 m at 60
// m/min are 16.67 min; 980 m, without the station's 20 m of make-ready, at 100
// m/min are 9.8; the station's own minute goes too: 7.87 min, at 120 an hour
// 15.73, and 20 m of 0.34 m at 0.5 a square metre are 3.40.
func TestFewerInksSaveTimeAndMoney(t *testing.T) {
	p, r := demoProfile(t), frameOf(t, 2000)
	press := &job.Press{Name: "test", Speeds: []job.SpeedStep{{Inks: 4, PerMinute: 100_000 * geometry.Millimetre}, {Inks: 7, PerMinute: 60_000 * geometry.Millimetre}},
		InkSetup: 20_000 * geometry.Millimetre, InkSetupMin: 1, Prices: &job.Prices{Currency: "EUR", PressPerHour: 120, WebPerM2: 0.5}}
	rep := judged(t, r, p, pressed{profile: p}.measure(t, r, []int{1}))
	f := colour.Fewer(r, rep, aimsOf(t, p), press)
	if len(f) != 1 || f[0].Ink != "Quince Gold" || f[0].Inks != 4 || f[0].SpeedM != 100 {
		t.Fatalf("%+v", f)
	}
	if math.Abs(f[0].SavedMin-7.87) > 0.005 || math.Abs(f[0].Saved-19.14) > 0.011 || f[0].Currency != "EUR" {
		t.Errorf("%+v", f[0])
	}
	lab, err := p.Lab([]float64{f[0].CMYK[0] / 100, f[0].CMYK[1] / 100, f[0].CMYK[2] / 100, f[0].CMYK[3] / 100})
	if d := cielab.DE00(lab, gold); err != nil || math.Abs(d-f[0].DE00) > 0.006 || !f[0].Near {
		t.Errorf("the build is %.3f from the gold, %v: %+v", d, err, f[0])
	}
	if !strings.Contains(f[0].Text, "Only with the customer's approval") {
		t.Error(f[0].Text)
	}
	// Two of them reach the press's faster step only together: with 4 inks, not
	// with 5. 960 m then take 9.6 min, and the two stations' minutes go.
	run := *r
	run.Run.PrintingInks = 6
	rep.Fewer = []colour.FewerInks{{Ink: "A", Near: true}, {Ink: "B", Near: false}, {Ink: "C", Near: true}}
	both := colour.Together(&run, rep, press)
	if both == nil || len(both.Spots) != 2 || both.Inks != 4 || math.Abs(both.SavedMin-9.07) > 0.005 || !strings.Contains(both.Text, "A, C all as builds") {
		t.Errorf("%+v", both)
	}
	rep.Fewer = rep.Fewer[:2]
	if one := colour.Together(&run, rep, press); one != nil {
		t.Errorf("%+v", one)
	}
	// A spot that the process inks don't reach is not advised.
	house, err := colour.ParseHouse("h.yaml", []byte("spots: [{name: Quince Gold, lab: [60, 90, 90], source: invented}]"))
	if err != nil {
		t.Fatal(err)
	}
	if f := colour.Fewer(r, rep, &colour.Aims{House: house, Profile: p}, press); len(f) != 1 || f[0].Near || !strings.Contains(f[0].Text, "not near enough") {
		t.Errorf("%+v", f)
	}
	if f := colour.Fewer(r, rep, &colour.Aims{}, press); len(f) != 0 {
		t.Errorf("a build without a profile: %+v", f)
	}
}
