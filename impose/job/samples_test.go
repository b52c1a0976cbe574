package job

import (
	"testing"

	"quoin/geometry"

	"github.com/google/go-cmp/cmp"
)

const samples = "../../samples/"

func TestSampleJobFillsTheBand(t *testing.T) {
	j, err := Houses(nil).ReadJob(samples+"job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := j.Validate(); err != nil {
		t.Fatal(err)
	}
	l, err := geometry.Plan(j.Request())
	if err != nil {
		t.Fatal(err)
	}
	// 6 x 50 + 5 x 3 + 2 x 1.5 = 318 = 340 - 2 x (5 + 6); 12 x 78.175 = 938.1
	if l.Across != 6 || l.Around != 12 || l.Repeat != 938_100_000 || j.Web().Band() != 318*mm {
		t.Errorf("%d x %d on %s of a band of %s", l.Across, l.Around, l.Repeat, j.Web().Band())
	}
	terms, err := j.Terms(6)
	if err != nil || terms.Speed != 120*geometry.Metre || terms.Overs != 2*geometry.Percent {
		t.Errorf("terms %+v, %v", terms, err)
	}
}

func TestSampleDiesSayTheSameTwice(t *testing.T) {
	fromYAML, err := ReadDies(samples + "dies.yaml")
	if err != nil {
		t.Fatal(err)
	}
	fromCSV, err := ReadDies(samples + "dies.csv")
	if err != nil {
		t.Fatal(err)
	}
	if len(fromYAML.Dies) != 12 {
		t.Errorf("%d dies, want 12", len(fromYAML.Dies))
	}
	if diff := cmp.Diff(fromYAML.Dies, fromCSV.Dies, noSources); diff != "" {
		t.Error(diff)
	}
}

func TestSampleOrders(t *testing.T) {
	list, err := OrderForm{}.ReadList(samples + "orders.csv")
	if err != nil {
		t.Fatal(err)
	}
	orders, drugs := list.Orders, 0
	for _, o := range orders {
		if o.DrugLabel {
			drugs++
		}
	}
	if len(orders) != 20 || drugs != 1 || orders[0].ID != "000450" {
		t.Errorf("%d orders with %d drug labels, the first is %s", len(orders), drugs, orders[0].ID)
	}
	if got := orders[0].ArtworkPath(); got != samples+"artwork/orchard-juice.pdf" {
		t.Errorf("the artwork is at %s", got)
	}
}

// TestSampleExport reads the sample of a sales system's export, in Windows-1252
// with other names, points for thousands, titles and a sum.
func TestSampleExport(t *testing.T) {
	form := OrderForm{Columns: map[string]string{"order": "Auftrag", "quantity": "Menge", "product": "Artikel", "artwork": "Datei", "due": "Liefertermin", "overs": "Mehrlieferung"}}
	list, err := form.ReadList("../../samples/orders-export.csv")
	if err != nil {
		t.Fatal(err)
	}
	sum := int64(0)
	for _, o := range list.Orders {
		sum += o.Quantity
	}
	if len(list.Orders) != 3 || sum != 42_500 || len(list.Bad) != 0 || list.Orders[0].Product != "Apfelsaft naturtrüb" || list.Orders[2].Due.Day() != 3 {
		t.Errorf("%+v, %v", list.Orders, list.Bad)
	}
	if len(list.Words) != 4 { // its encoding, two titles, a customer, the sum
		t.Errorf("%v", list.Words)
	}
}
