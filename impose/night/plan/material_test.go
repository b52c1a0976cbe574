package plan

import (
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// Film and film are one stock: one run, and the die that is made for it.
func TestMaterialsInAnyLetters(t *testing.T) {
	r := nighttest.Rules()
	all := nighttest.Orders(t, "order,quantity,material\nA,600,PE film\nB,600,pe  Film\nC,600,paper\n")
	p := made(t, all, r)
	if len(p.Runs) != 2 || len(p.Groups) != 2 || p.Groups[0].Material != "PE film" {
		t.Errorf("%d runs, groups %+v", len(p.Runs), p.Groups)
	}
	if all[1].Material != "pe  Film" {
		t.Error("the caller's order was changed")
	}
	r.House.Material.Kind = "pe film"
	if p = made(t, all, r); p.Groups[0].Material != "pe film" {
		t.Errorf("the house's spelling is not kept: %+v", p.Groups)
	}
	r = nighttest.Rules()
	dies, err := job.ParseDies("d.csv", []byte("number,size,lanes,rows,gap,station,materials,repeat\n0101,50x75mm,5,4,3x5mm,flat-bed,film,320mm\n"))
	if err != nil {
		t.Fatal(err)
	}
	r.House.Dies, r.House.Label = dies, geometry.Size{}
	p = made(t, nighttest.Orders(t, "order,quantity,die,material\nA,600,0101,Film\nB,600,101,film\nC,600,0102,film\n"), r)
	if len(runsOf(p, "A")) != 1 {
		t.Errorf("the die made for film takes no Film: %+v", p.Unplanned)
	}
	for _, n := range p.Unplanned {
		if want := map[string]string{
			"B": "there is no die 101 in the library (did you mean 0101? spreadsheets drop the leading zeros)",
			"C": "there is no die 0102 in the library (did you mean 0101?)",
		}[n.Order]; n.Code != night.NoDie || n.Text != want {
			t.Errorf("%+v, want %q", n, want)
		}
	}
}

// TestDiesWiderThanTheWebCutNothing: a die of six lanes, 315 mm, beside one of
// four. On a web of 250 mm only that is a tool, unless the shop runs wide ones
// with fewer lanes; then the plan says so.
func TestDiesWiderThanTheWebCutNothing(t *testing.T) {
	dies, err := job.ParseDies("d.csv", []byte("number,size,lanes,rows,gap,station,repeat\n"+
		"wide,50x75mm,6,8,3x3mm,flat-bed,624mm\nnarrow,50x75mm,4,4,3x4.375mm,flat-bed,317.5mm\n"))
	if err != nil {
		t.Fatal(err)
	}
	for _, unused := range []bool{false, true} {
		r := nighttest.MoneyRules(t)
		r.Presses, r.FreeWeb, r.House.WebWidth, r.House.Dies = nil, false, 250*mm, dies
		r.House.Press.Finishing.UnusedLanes = unused
		p := made(t, nighttest.Orders(t, "order,quantity,label,material,inks\nA,9000,50x75mm,paper,\"C,M,Y,K\"\n"), r)
		if len(p.Runs) != 1 {
			t.Fatal(p.Unplanned)
		}
		want, cut := "narrow", 0
		if unused {
			want, cut = "wide", 2
		}
		if run := p.Runs[0]; run.Die != want || run.Lanes != 4 || run.UnusedLanes != cut {
			t.Errorf("allowed %v: die %s with %d lanes, %d unused", unused, run.Die, run.Lanes, run.UnusedLanes)
		}
	}
}

// TestInksThatNoPressTakes: an order of 13 inks is refused by what the press of most
// stations takes, whichever stands first.
func TestInksThatNoPressTakes(t *testing.T) {
	for _, first := range []int{5, 12} {
		r := nighttest.MoneyRules(t)
		r.House.Dies = nighttest.Dies(t)
		for p, stations := range map[*job.Press]int{r.House.Press: first, r.Presses[0]: 17 - first} {
			p.Stations, p.Speeds = stations, []job.SpeedStep{{Inks: stations, PerMinute: 60 * geometry.Metre}}
		}
		p := made(t, nighttest.Orders(t, "order,quantity,label,material,inks\nA,9000,50x75mm,paper,\"a,b,c,d,e,f,g,h,i,j,k,l,m\"\n"), r)
		if want := []string{r.Presses[0].Name, r.House.Press.Name}[first/12]; len(p.Unplanned) != 1 || !strings.Contains(p.Unplanned[0].Text, "more than the 12 that "+want) {
			t.Errorf("first %d: %+v, want %s", first, p.Unplanned, want)
		}
	}
}
