package plan

import (
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// TestWhoHasAnotherWebLeavesTheScarceOne: two great orders lie best on the wide web, of
// which there is too little for them and for a small one that no other web takes. The
// small one keeps it, the great ones go to the narrow web, and all are printed.
func TestWhoHasAnotherWebLeavesTheScarceOne(t *testing.T) {
	dies, err := job.ParseDies("d.csv", []byte("number,size,radius,lanes,rows,gap,repeat,station\n02,50x75mm,3mm,6,8,3x3.175mm,625.4mm,full-rotary\n"+
		"03,50x75mm,3mm,4,4,3x4.375mm,317.5mm,full-rotary\n04,100x50mm,3mm,3,6,3x2.92mm,317.5mm,full-rotary\n"))
	if err != nil {
		t.Fatal(err)
	}
	all := nighttest.Orders(t, "order,quantity,label,material,inks\nA,40000,50x75mm,film,\"C,M,Y,K\"\nB,30000,50x75mm,film,\"C,M,Y,K\"\nC,3000,100x50mm,film,\"C,M,Y,K\"\n")
	wide := job.Lot{Width: 340 * mm, Material: "film"}
	r := twoWidths(t, job.Lot{Width: 250 * mm, Material: "film"}, wide)
	r.House.Dies = dies
	free := made(t, all, r)
	taken := 0.0
	for _, run := range free.Runs {
		if run.WebMM == 340 {
			taken += run.WebGrossM
		}
	}
	if taken == 0 || len(free.Unplanned) > 0 {
		t.Fatalf("%g m of the wide web, left out %v", taken, free.Unplanned)
	}
	wide.Length = geometry.FromMM(1000 * (taken - 60))
	r = twoWidths(t, job.Lot{Width: 250 * mm, Material: "film"}, wide)
	r.House.Dies = dies
	p := made(t, all, r)
	if len(p.Unplanned) > 0 {
		t.Errorf("left out %v", p.Unplanned)
	}
	if *p.Bound.Money > *p.Total.Money || *p.Bound.Money < *free.Bound.Money {
		t.Errorf("the bound is %d of %d, of unlimited stock %d", *p.Bound.Money, *p.Total.Money, *free.Bound.Money)
	}
	// With too little even for the small one it is left out, and the plan says why.
	wide.Length = 10 * geometry.Metre
	r = twoWidths(t, job.Lot{Width: 250 * mm, Material: "film"}, wide)
	r.House.Dies = dies
	if p = made(t, all, r); len(p.Unplanned) != 1 || p.Unplanned[0].Order != "C" || p.Unplanned[0].Code != night.NoWeb || p.Unplanned[0].Text == "" {
		t.Errorf("left out %+v", p.Unplanned)
	}
}
