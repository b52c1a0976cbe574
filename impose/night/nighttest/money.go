package nighttest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/sheet"
)

// pressText is a press of invented prices, to be filled in with a name, the widest
// web, the frame, the speeds with six and with twelve inks, and the hourly price.
const pressText = `
name: %s
web-min: 100mm
web-max: %s
edge: 4mm
target-lane: 6mm
frame-max: 980mm
stations: 12
speeds: [{inks: 6, speed: %s}, {inks: 12, speed: %s}]
setup: 40m
setup-time: 3min
setup-per-ink: 2m
run-waste: 3%%
unwinder: {roll-change: 5min, master-roll: 2000m}
finishing: {die-cutting: 100m/min, setup-time: 6min, windings: 2, edge-matrix: 3mm}
webs: [200mm, 280mm, 340mm]
changes: {material: 8min, web: 5min, ink: 3min, die: 12min}
shifts: [{from: 22:00, to: 6:00}]
prices: {currency: EUR, web: 0.35/m2, press: %s/h, finishing: 90/h, setup: 12, ink-area: 0.01/m2, roll: 0.2, part-roll: 0.3,
  materials: [{material: film, web: 0.48/m2}, {material: foil, web: 0.9/m2}]}
`

// Presses returns a wide, fast press and a narrow, slow one that costs less.
func Presses(t testing.TB) (wide, narrow *job.Press) {
	t.Helper()
	var out []*job.Press
	for _, text := range []string{
		fmt.Sprintf(pressText, "wide press", "340mm", "120m/min", "60m/min", "180"),
		fmt.Sprintf(pressText, "narrow press", "280mm", "60m/min", "40m/min", "110"),
	} {
		p, err := job.ParsePress("press.yaml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, p)
	}
	return out[0], out[1]
}

// MoneyRules are those of a night by money on two presses and three webs.
func MoneyRules(t testing.TB) *night.Rules {
	t.Helper()
	wide, narrow := Presses(t)
	h := job.New()
	h.Press, h.Gap.Across = wide, 3*geometry.Millimetre
	r := &night.Rules{House: h, Presses: []*job.Press{narrow}, By: night.Money, Seed: 1, Time: 50 * time.Millisecond, PlanOnly: true, Paper: sheet.A4}
	if err := r.SetHouse(h, "orders.csv"); err != nil {
		t.Fatal(err)
	}
	return r
}

// sizes are labels, across and around, of which the die room has two dies each:
// one of few long rows, one that fills the frame.
var sizes = [][2]int{{50, 75}, {60, 40}, {100, 50}, {40, 40}, {80, 60}, {30, 90}, {70, 70}, {45, 60}, {90, 120}, {55, 30}}

// Dies is a die room of twenty dies for ten labels.
func Dies(t testing.TB) *job.Library {
	t.Helper()
	var b strings.Builder
	b.WriteString("number,size,lanes,rows,gap,repeat,station\n")
	for i, s := range sizes {
		for k, repeat := range []float64{330, 640} {
			lanes := (314 + 3) / (s[0] + 3)
			if (i+k)%3 == 0 && lanes > 3 {
				lanes -= 2 // for the narrower web
			}
			rows := int(repeat / float64(s[1]+3))
			gap := (repeat - float64(rows*s[1])) / float64(rows)
			gap = math.Floor(gap*1000) / 1000
			fmt.Fprintf(&b, "%02d%02d,%dx%dmm,%d,%d,3x%gmm,%gmm,flat-bed\n", i+1, k+1, s[0], s[1], lanes, rows, gap, float64(rows)*(float64(s[1])+gap))
		}
	}
	dies, err := job.ParseDies("dies.csv", []byte(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	return dies
}

// MoneyOrders draws orders for Dies: three materials, three sets of inks.
func MoneyOrders(t testing.TB, n int) []job.Order {
	t.Helper()
	rng := rand.New(rand.NewPCG(2026, uint64(n)))
	var b strings.Builder
	b.WriteString("order,quantity,label,material,inks,winding,labels-per-roll\n")
	for i := range n {
		s := sizes[rng.IntN(len(sizes))]
		inks := []string{"C,M,Y,K", "C,M,Y,K,Quince Gold", "C,M,Y,K,Quince Gold,White,Leaf"}[rng.IntN(3)]
		material := []string{"paper", "film", "foil"}[min(rng.IntN(4), 2)]
		fmt.Fprintf(&b, "%06d,%d,%dx%dmm,%s,%q,out top,%d\n", i, 100*int(2*math.Exp(rng.Float64()*math.Log(250))),
			s[0], s[1], material, inks, 1000+500*rng.IntN(4))
	}
	all, err := job.ParseOrders(filepath.FromSlash("../../../samples/orders.csv"), []byte(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	return all
}
