// Package nighttest holds what the tests of a night's packages share.
package nighttest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/folder"
	"quoin/impose/sheet"
)

// House is the worked job's frame: 6 lanes by 12 rows of 50 x 75 mm on 938.1 mm.
func House() *job.Job {
	const mm = geometry.Millimetre
	j := job.New()
	none, edge, setup := geometry.Length(0), 10*mm, 60*geometry.Metre
	j.WebWidth, j.Edge, j.TargetLane = 340*mm, &edge, &none
	j.Label, j.Bleed = geometry.Size{Across: 50 * mm, Around: 75 * mm}, 1500*geometry.Micrometre
	j.Gap = geometry.Size{Across: 3 * mm, Around: 3175 * geometry.Micrometre}
	j.Repeat.Longest, j.Run.Setup, j.Press = 980*mm, &setup, night.CommonPress()
	return j
}

// Rules are those of a night that is planned only, with a short search.
func Rules() *night.Rules {
	return &night.Rules{House: House(), By: night.Web, Seed: 1, Time: 20 * time.Millisecond, PlanOnly: true, Paper: sheet.A4}
}

// Orders reads an order file.
func Orders(t testing.TB, csv string) []job.Order {
	t.Helper()
	all, err := job.ParseOrders("orders.csv", []byte(csv))
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// DeskOrders are two runs of Desk.
const DeskOrders = `order,quantity,artwork,product,material
1,900,juice.pdf,Juice,film
2,500,perry.pdf,"Perry <b>""&",film
3,700,cider.pdf,,paper
`

// Desk is a folder with the samples' artworks and an order file.
func Desk(t *testing.T, csv string) (dir string, all []job.Order, r *night.Rules) {
	t.Helper()
	dir = t.TempDir()
	for _, name := range []string{"juice", "cider", "perry"} {
		data, err := os.ReadFile("../../../samples/artwork/orchard-" + name + ".pdf")
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+".pdf"), data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	all, err := job.ParseOrders(filepath.Join(dir, "orders.csv"), []byte(csv))
	if err != nil {
		t.Fatal(err)
	}
	r = Rules()
	six, five := 6*geometry.Millimetre, 5*geometry.Millimetre
	r.House.TargetLane, r.House.Edge, r.House.Name, r.PlanOnly = &six, &five, "desk", false
	r.House.Repeat.Longest = 240 * geometry.Millimetre
	return dir, all, r
}

// Folder begins a folder.
func Folder(t *testing.T, place string) *folder.Folder {
	t.Helper()
	f, err := folder.Open(place, "k")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// CodeOf returns the code of the first note on an order; "" where there is none.
func CodeOf(notes []night.Note, order string) string {
	for _, n := range notes {
		if n.Order == order {
			return n.Code
		}
	}
	return ""
}

// ThousandOrders draws a night of 1,000 orders over some 250 groups: 250
// materials, quantities from 200 to 50,000 spread evenly over their logarithms,
// in hundreds. The greater skew is, the more orders share the first materials;
// with 1 all have about as many.
func ThousandOrders(tb testing.TB, skew float64) []job.Order {
	rng := rand.New(rand.NewPCG(2026, 3))
	var b strings.Builder
	b.WriteString("order,quantity,artwork,material,inks\n")
	for i := range 1000 {
		quantity := 100 * int(2*math.Exp(rng.Float64()*math.Log(250)))
		fmt.Fprintf(&b, "%06d,%d,artwork/orchard-%s.pdf,stock %03d,\"C,M,Y,K,Quince Gold\"\n",
			i, quantity, []string{"juice", "cider", "perry"}[i%3], int(250*math.Pow(rng.Float64(), skew)))
	}
	all, err := job.ParseOrders(filepath.FromSlash("../../../samples/orders.csv"), []byte(b.String()))
	if err != nil {
		tb.Fatal(err)
	}
	return all
}
