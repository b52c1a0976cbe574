package plan

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/witness"
)

// TestEveryKindOfToolIsOffered: a tool for a cylinder, for the stroke of a flat-bed and
// of a semi-rotary station, each at the price of its kind, for rectangles, corners that
// artworks draw, outlines of a drawing and outlines that artworks draw. Bought, it
// saves what was said. What has no price is offered to nobody.
func TestEveryKindOfToolIsOffered(t *testing.T) {
	dir := t.TempDir()
	for name, line := range map[string]string{
		"soft":   witness.Rounded(0, 0, 50, 75, 5, 5),
		"shield": "0 75 m 50 75 l 50 20 l 25 0 l 0 20 l h",
	} {
		data, err := os.ReadFile(witness.Label{W: 50, H: 75, Line: line}.Write(t))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+".pdf"), data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	leaf, err := filepath.Abs("../../../samples/outlines/leaf.dxf")
	if err != nil {
		t.Fatal(err)
	}
	flat := geometry.DieStation{Kind: geometry.FlatBed, Width: 330 * mm, Stroke: 310 * mm}
	semi := geometry.DieStation{Kind: geometry.SemiRotary, Width: 330 * mm, Stroke: 400 * mm}
	full := geometry.DieStation{Kind: geometry.FullRotary, Width: 330 * mm}
	for _, c := range []struct {
		name     string
		label    string
		artwork  string
		outline  string
		stations []geometry.DieStation
		usual    float64
		prices   []job.ToolPrice
		station  string
		price    int64 // 0: none is offered
		shape    string
	}{
		{"flat-bed", "50x75mm", "", "", []geometry.DieStation{flat}, 100, nil, "flat-bed", 10_000, "rectangle"},
		{"flat-bed at its own price", "50x75mm", "", "", []geometry.DieStation{flat, full}, 500, []job.ToolPrice{{Station: geometry.FlatBed, Price: 80}}, "flat-bed", 8000, "rectangle"},
		{"semi-rotary", "50x75mm", "", "", []geometry.DieStation{semi}, 0, []job.ToolPrice{{Station: geometry.SemiRotary, Price: 90}}, "semi-rotary", 9000, "rectangle"},
		{"cylinder, as the flat tool is too dear", "50x75mm", "", "", []geometry.DieStation{flat, full}, 100, []job.ToolPrice{{Station: geometry.FlatBed, Price: 1e5}}, "full-rotary", 10_000, "rectangle"},
		{"no price for what can be made", "50x75mm", "", "", []geometry.DieStation{flat}, 0, []job.ToolPrice{{Station: geometry.FullRotary, Price: 80}}, "", 0, ""},
		{"no stroke is known", "50x75mm", "", "", []geometry.DieStation{{Kind: geometry.FlatBed}}, 100, nil, "", 0, ""},
		{"corners that artworks draw", "50x75mm", "soft", "", []geometry.DieStation{full}, 100, nil, "full-rotary", 10_000, "rectangle"},
		{"outline that artworks draw", "50x75mm", "shield", "", []geometry.DieStation{full}, 100, []job.ToolPrice{{Outline: true, Price: 140}}, "full-rotary", 14_000, "outline"},
		{"outline of a drawing", "60x80mm", "", leaf, []geometry.DieStation{full}, 100, []job.ToolPrice{{Outline: true, Price: 140}}, "full-rotary", 14_000, "outline"},
		{"outline whose tools have no price", "60x80mm", "", leaf, []geometry.DieStation{full}, 0, []job.ToolPrice{{Station: geometry.FlatBed, Outline: true, Price: 140}}, "", 0, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := toolRules(t, c.usual)
			r.House.Press.Prices.NewTools, r.House.Press.Finishing.Stations = c.prices, append(c.stations, geometry.DieStation{Kind: geometry.Laser})
			// What there is cuts the label with a laser, on two lanes.
			die := fmt.Sprintf("number,shape,size,radius,outline,lanes,rows,gap,repeat,station\n0001,rectangle,%s,,,2,4,3x4mm,,laser\n", c.label)
			switch {
			case c.artwork == "soft":
				die = strings.Replace(die, "mm,,,2", "mm,5mm,,2", 1)
			case c.artwork == "shield":
				shield := filepath.Join(dir, "shield.dxf")
				writeShield(t, shield)
				die = strings.NewReplacer("rectangle", "outline", "mm,,,2", "mm,,"+shield+",2").Replace(die)
			case c.outline != "":
				die = strings.NewReplacer("rectangle", "outline", "mm,,,2", "mm,,"+c.outline+",2").Replace(die)
				r.House.Shape, r.House.Outline = geometry.ShapeOutline, c.outline
			}
			dies, err := job.ParseDies("dies.csv", []byte(die))
			if err != nil {
				t.Fatal(err)
			}
			r.House.Dies = dies
			art := ""
			if c.artwork != "" {
				art = filepath.Join(dir, c.artwork+".pdf")
			}
			all := nighttest.Orders(t, fmt.Sprintf("order,quantity,label,artwork,material,winding\nA,60000,%[1]s,%[2]s,film,out top\nB,20000,%[1]s,%[2]s,film,out top\n", c.label, art))
			p := made(t, all, r)
			if len(p.Unplanned) > 0 {
				t.Fatalf("%+v", p.Unplanned)
			}
			if err := p.OfferTools(t.Context(), all); err != nil {
				t.Fatal(err)
			}
			if c.price == 0 {
				if len(p.Tools) > 0 {
					t.Errorf("offered: %+v", p.Tools)
				}
				return
			}
			if len(p.Tools) != 1 {
				t.Fatalf("%d tools, %+v", len(p.Tools), p.Notes)
			}
			x := p.Tools[0]
			if x.Station != c.station || x.Price != c.price || x.Shape != c.shape || x.Lanes < 4 || len(x.Orders) != 2 || x.Saves != x.Now-x.With-x.Price || (x.Cylinder != "") != (c.station == "full-rotary") {
				t.Errorf("%+v", x)
			}
			for _, s := range c.stations {
				reach := float64(x.Rows)*(75+x.GapMM[1]) - x.GapMM[1]
				if string(s.Kind) == x.Station && s.Stroke > 0 && reach > s.Stroke.MM() {
					t.Errorf("%d rows reach %g mm, the stroke is %s", x.Rows, reach, s.Stroke)
				}
			}
		})
	}
}

// TestToolOfAFurtherPress: a tool is made for the finishing line that has the cylinders,
// at that press's price.
func TestToolOfAFurtherPress(t *testing.T) {
	r := toolRules(t, 0)
	_, narrow := nighttest.Presses(t)
	narrow.Finishing.Cylinders, narrow.Finishing.UnusedLanes = r.House.Press.Finishing.Cylinders, true
	r.House.Press.Finishing.Cylinders, narrow.Prices.NewTool, r.Presses = nil, 50, []*job.Press{narrow}
	all := nighttest.Orders(t, "order,quantity,label,material,inks\nA,60000,50x75mm,film,\"C,M\"\n")
	p := made(t, all, r)
	if err := p.OfferTools(t.Context(), all); err != nil {
		t.Fatal(err)
	}
	if len(p.Tools) != 1 || p.Tools[0].Press != narrow.Name || p.Tools[0].Price != 5000 || p.Tools[0].Saves <= 0 {
		t.Errorf("%+v", p.Tools)
	}
}

// TestLabelsNoToolWasLookedForAreCounted: of three labels that a tool would pay for the
// two that most is spent on are looked at, and a note names the third.
func TestLabelsNoToolWasLookedForAreCounted(t *testing.T) {
	r := toolRules(t, 60)
	dies, err := job.ParseDies("dies.csv", []byte("number,size,lanes,rows,gap,repeat,station\n1,50x75mm,2,4,3x4mm,316mm,flat-bed\n2,60x40mm,2,7,3x4mm,308mm,flat-bed\n3,40x40mm,2,7,3x4mm,308mm,flat-bed\n"))
	if err != nil {
		t.Fatal(err)
	}
	r.House.Dies = dies
	all := nighttest.Orders(t, "order,quantity,label,material,inks\nA,60000,50x75mm,film,\"C,M\"\nB,60000,60x40mm,film,\"C,M\"\nC,60000,40x40mm,film,\"C,M\"\n")
	p := made(t, all, r)
	if err := p.OfferTools(t.Context(), all); err != nil {
		t.Fatal(err)
	}
	if len(p.Tools) != 2 || p.Tools[0].LabelMM == [2]float64{40, 40} || p.Tools[1].LabelMM == [2]float64{40, 40} {
		t.Fatalf("%+v", p.Tools)
	}
	for _, n := range p.Notes {
		if n.Code == night.NewTools && strings.HasSuffix(n.Text, "not for 1 other that one might pay for (40 x 40 mm)") {
			return
		}
	}
	t.Errorf("%+v", p.Notes)
}

// writeShield draws the shield as a polyline in millimetres, as AutoCAD's DXF
// reference has it.
func writeShield(t *testing.T, path string) {
	t.Helper()
	var b strings.Builder
	b.WriteString("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\ncut\n90\n5\n70\n1\n")
	for _, p := range [][2]int{{0, 75}, {50, 75}, {50, 20}, {25, 0}, {0, 20}} {
		fmt.Fprintf(&b, "10\n%d\n20\n%d\n", p[0], p[1])
	}
	b.WriteString("0\nENDSEC\n0\nEOF\n")
	if err := os.WriteFile(path, []byte(b.String()), 0o666); err != nil {
		t.Fatal(err)
	}
}
