package job

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"quoin/geometry"

	"github.com/google/go-cmp/cmp"
)

const fullOrder = `orders:
  - order: 004512
    product: Juice
    artwork: a.pdf
    page: 2
    quantity: 1000
    label: 50x75mm
    die: 0101
    material: film
    inks: [Cyan, "Deep, Blue"]
    winding: face in, left leads
    labels-per-roll: 500
    splices: no
    overs: 5%
    due: 2026-03-31
    priority: -3
    flags: [drug-label, alone, no-split]
    password: hedge
    permitted-by: A. Owner
`

func TestEveryOrderKeyReachesItsField(t *testing.T) {
	got, err := ParseOrders("shop/orders.yaml", []byte(fullOrder))
	if err != nil {
		t.Fatal(err)
	}
	overs := 5 * geometry.Percent
	want := []Order{{
		ID: "004512", Product: "Juice", Artwork: "a.pdf", Page: 2, Quantity: 1000,
		Label: geometry.Size{Across: 50 * mm, Around: 75 * mm}, Die: "0101", Material: "film",
		Inks:    []string{"Cyan", "Deep, Blue"},
		Winding: &geometry.Winding{Face: geometry.FaceIn, Leading: geometry.LeftLeads}, LabelsPerRoll: 500, Splices: new(false),
		Overs: &overs, Due: time.Date(2026, 3, 31, 0, 0, 0, 0, time.UTC), Priority: -3,
		DrugLabel: true, Alone: true, NoSplit: true, Password: "hedge", PermittedBy: "A. Owner",
	}}
	if diff := cmp.Diff(want, got, noSources); diff != "" {
		t.Error(diff)
	}
	for _, key := range keysOf(orderKeys) {
		if got[0].At(key).Line == 2 != (key == "order") {
			t.Errorf("%s is not in the full order", key)
		}
	}
}

// Spreadsheets differ in what they put around and between cells.
func TestCSVDialects(t *testing.T) {
	want, err := ParseOrders("o.csv", []byte("order,quantity,label,material\n#1,1000,50x75mm,\"white, matt\"\n"))
	if err != nil || len(want) != 1 || want[0].ID != "#1" || want[0].Material != "white, matt" {
		t.Fatalf("%+v, %v", want, err)
	}
	for name, text := range map[string]string{
		"byte order mark":  "\ufefforder,quantity,label,material\n#1,1000,50x75mm,\"white, matt\"\n",
		"tabs":             "order\tquantity\tlabel\tmaterial\n#1\t1000\t50x75mm\twhite, matt\n",
		"decimal commas":   "order;quantity;label;material\n#1;1.000;50,0x75,00mm;white, matt\n",
		"semicolons":       "order;quantity;label;material\n#1;1000;50x75mm;white, matt\n",
		"DOS line ends":    "order,quantity,label,material\r\n#1,1000,50x75mm,\"white, matt\"\r\n",
		"no last line end": "order,quantity,label,material\n#1,1000,50x75mm,\"white, matt\"",
		"all quoted":       "\"order\",\"quantity\",\"label\",\"material\"\n\"#1\",\"1000\",\"50x75mm\",\"white, matt\"\n",
		"capitals, spaces": " Order , QUANTITY,Label,Material\n #1 , 1000 ,50x75mm,\"white, matt\"\n",
		"blank rows":       "order,quantity,label,material\n,,,\n\n#1,1000,50x75mm,\"white, matt\"\n,,,,,\n",
		"other order":      "material,label,quantity,order\n\"white, matt\",50x75mm,1000,#1\n",
		"empty column":     "order,quantity,label,material,\n#1,1000,50x75mm,\"white, matt\",\n",
		"comments first":   "# one; night; of; orders\n#\norder,quantity,label,material\n#1,1000,50x75mm,\"white, matt\"\n",
	} {
		got, err := ParseOrders("o.CSV", []byte(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if diff := cmp.Diff(want, got, noSources); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

func TestCellsKeepTheirPlaces(t *testing.T) {
	text := "# comment\norder,product,quantity,label\n1,\"Äpfel\nund Birnen\",20,50x75mm\n2,Süßmost,,50x75mm\n"
	orders, err := ParseOrders("o.csv", []byte(text))
	if e, ok := errors.AsType[*FileError](err); !ok || len(e.Faults) != 1 || e.Faults[0].Record != "2" ||
		e.Faults[0].Position != (Position{"o.csv", 5, 11}) {
		t.Errorf("faults: %v", err)
	}
	if len(orders) != 1 {
		t.Fatalf("%d orders", len(orders))
	}
	for key, want := range map[string]string{
		"order": "o.csv:3:1", "product": "o.csv:3:3", "quantity": "o.csv:4:13", "label": "o.csv:4:16", "due": "o.csv:3:1",
	} {
		if got := orders[0].At(key).String(); got != want {
			t.Errorf("%s stands at %s, want %s", key, got, want)
		}
	}
}

// A record with a fault is left out and named; the others go on.
func TestGoodRecordsGoOn(t *testing.T) {
	text := "order,quantity,label,flags\nA,1,50x75mm,\nB,many,50x75mm,\nC,3,50x75mm,druglabel\nD,5,50x75mm,\n"
	orders, err := ParseOrders("o.csv", []byte(text))
	var names, records []string
	for _, o := range orders {
		names = append(names, fmt.Sprint(o.ID, o.Quantity))
	}
	e, ok := errors.AsType[*FileError](err)
	if !ok {
		t.Fatal("no faults")
	}
	for _, f := range e.Faults {
		records = append(records, f.Record)
	}
	if got := strings.Join(names, " "); got != "A1 D5" {
		t.Errorf("orders %s", got)
	}
	if got := strings.Join(records, " "); got != "B C" {
		t.Errorf("faults of %s: %v", got, err)
	}
}

// Columns that leave open what the records say leave none.
func TestFaultyColumnsLeaveNoRecords(t *testing.T) {
	for _, header := range []string{"order,quantitty,label,flags", "order,quantity,label,order"} {
		orders, err := ParseOrders("o.csv", []byte(header+"\n1,2,50x75mm,drug-label\n"))
		if err == nil || orders != nil {
			t.Errorf("%s gives %+v, %v", header, orders, err)
		}
	}
}

func TestDies(t *testing.T) {
	library, err := ParseDies("shop/d.csv", []byte("number,size,lanes,rows,gap,station,teeth,pitch,repeat\n"+
		"1,50x75mm,6,4,3x4.375mm,full-rotary,100,1/8in CP,\n2,50x75mm,,,,laser,,,980mm\n"))
	if err != nil {
		t.Fatal(err)
	}
	want := []geometry.Die{{
		Number: "1", Shape: geometry.ShapeRectangle, Condition: geometry.DieGood, Station: geometry.FullRotary,
		Size: geometry.Size{Across: 50 * mm, Around: 75 * mm}, Gap: geometry.Size{Across: 3 * mm, Around: 4_375_000},
		Lanes: 6, Rows: 4, Cylinder: geometry.Cylinder{Teeth: 100, Gear: geometry.CircularPitch(3_175_000)},
	}, {
		Number: "2", Shape: geometry.ShapeRectangle, Condition: geometry.DieGood, Station: geometry.Laser,
		Size: geometry.Size{Across: 50 * mm, Around: 75 * mm}, Repeat: 980 * mm,
	}}
	if diff := cmp.Diff(want, library.Dies, noSources); diff != "" {
		t.Error(diff)
	}
	if got := library.At(1, "repeat").String(); got != "shop/d.csv:3:22" {
		t.Errorf("the repeat stands at %s", got)
	}
	if got := library.Path("leaf.dxf"); got != "shop/leaf.dxf" {
		t.Errorf("the outline is at %s", got)
	}
}

// dieRoom writes a library of n dies of many sizes.
func dieRoom(n int, row, header string) []byte {
	var b strings.Builder
	b.WriteString(header)
	for i := range n {
		fmt.Fprintf(&b, row, i, 20+i%80, 20+i%77, i%4)
	}
	return []byte(b.String())
}

const (
	csvHeader = "number,shape,size,radius,lanes,rows,gap,teeth,pitch,station,materials,place,condition\n"
	csvDie    = "%05d,rectangle,%d.5x%dmm,%dmm,3,2,3x4.375mm,100,1/8in CP,semi-rotary,\"paper, film\",rack A1,good\n"
	yamlDie   = "  - number: %05d\n    shape: rectangle\n    size: %d.5x%dmm\n    radius: %dmm\n    lanes: 3\n    rows: 2\n" +
		"    gap: 3x4.375mm\n    teeth: 100\n    pitch: 1/8in CP\n    station: semi-rotary\n    materials: [paper, film]\n" +
		"    place: rack A1\n    condition: good\n"
)

func BenchmarkReadDies(b *testing.B) {
	for _, c := range []struct{ name, row, header string }{{"csv", csvDie, csvHeader}, {"yaml", yamlDie, "dies:\n"}} {
		b.Run(c.name, func(b *testing.B) {
			data := dieRoom(10_000, c.row, c.header)
			b.SetBytes(int64(len(data)))
			for b.Loop() {
				library, err := ParseDies("dies."+c.name, data)
				if err != nil || len(library.Dies) != 10_000 {
					b.Fatal(err)
				}
			}
			b.ReportMetric(b.Elapsed().Seconds()*1000/float64(b.N), "ms/10000-dies")
		})
	}
}
