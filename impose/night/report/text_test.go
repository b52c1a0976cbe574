package report

import (
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/night/nighttest"
)

// TestReportNamesWidths: orders that share a band of 320 mm are told by their
// sizes, and 20 mm are left.
func TestReportNamesWidths(t *testing.T) {
	r := nighttest.Rules()
	r.House.Turns, r.Widths, r.NoSplit = []geometry.Turn{geometry.Turn0}, true, true
	said := text(t, made(t, nighttest.Orders(t, "order,quantity,label\nA,10000,47x75mm\nB,5000,77x75mm\nC,2500,97x75mm\n"), r))
	for _, want := range []string{"min; 47 x 75 mm, 97 x 75 mm, 20 mm of the band blank", "4 lanes", "32 over, 47 x 75 mm"} {
		if !strings.Contains(said, want) {
			t.Errorf("the report doesn't say %q:\n%s", want, said)
		}
	}
}

func TestGlanceSaysWhatIsProved(t *testing.T) {
	p := made(t, nighttest.Orders(t, "order,quantity,overs,inks\nA,100,50%,\"C,M,Y,K,Blue,Violet\"\nB,100,50%,\"C,M,Y,K,Red,Blue\"\nC,200,50%,\"C,M,Y,K,Green,Violet\"\n"), nighttest.Rules())
	if got := Glance(p); !strings.Contains(got, "proved best for these groups") {
		t.Error(got)
	}
}
