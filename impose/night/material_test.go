package night

import (
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
)

// Film and film are one stock: one run, and the die that is made for it.
func TestMaterialsInAnyLetters(t *testing.T) {
	r := rules()
	all := orders(t, "order,quantity,material\nA,600,PE film\nB,600,pe  Film\nC,600,paper\n")
	p := plan(t, all, r)
	if len(p.Runs) != 2 || len(p.Groups) != 2 || p.Groups[0].Material != "PE film" {
		t.Errorf("%d runs, groups %+v", len(p.Runs), p.Groups)
	}
	if all[1].Material != "pe  Film" {
		t.Error("the caller's order was changed")
	}
	r.House.Material.Kind = "pe film"
	if p = plan(t, all, r); p.Groups[0].Material != "pe film" {
		t.Errorf("the house's spelling is not kept: %+v", p.Groups)
	}
	r = rules()
	dies, err := job.ParseDies("d.csv", []byte("number,size,lanes,rows,gap,station,materials,repeat\n0101,50x75mm,5,4,3x5mm,flat-bed,film,320mm\n"))
	if err != nil {
		t.Fatal(err)
	}
	r.House.Dies, r.House.Label = dies, geometry.Size{}
	p = plan(t, orders(t, "order,quantity,die,material\nA,600,0101,Film\nB,600,101,film\nC,600,0102,film\n"), r)
	if len(runsOf(p, "A")) != 1 {
		t.Errorf("the die made for film takes no Film: %+v", p.Unplanned)
	}
	for _, n := range p.Unplanned {
		if want := map[string]string{
			"B": "there is no die 101 in the library (did you mean 0101? spreadsheets drop the leading zeros)",
			"C": "there is no die 0102 in the library (did you mean 0101?)",
		}[n.Order]; n.Code != NoDie || n.Text != want {
			t.Errorf("%+v, want %q", n, want)
		}
	}
}
