package folder

import (
	"bytes"
	"os"
	"testing"

	"github.com/xuri/excelize/v2"
)

// workbook is a workbook of one sheet.
func workbook(t *testing.T, rows ...[]any) string {
	t.Helper()
	f := excelize.NewFile()
	for i, row := range rows {
		cell, _ := excelize.CoordinatesToCellName(1, i+1)
		if err := f.SetSheetRow("Sheet1", cell, &row); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestOrderLists: what the reader of orders reads is an order list here, with the
// job that it needs for it.
func TestOrderLists(t *testing.T) {
	export, err := os.ReadFile("../../../samples/orders-export.csv") // Windows-1252, titles above the names, semicolons
	if err != nil {
		t.Fatal(err)
	}
	const german = "orders: {columns: {order: Auftrag, quantity: Menge, product: Artikel, artwork: Datei, due: Liefertermin}}\n"
	f := made(t, map[string]string{
		"export.csv":          string(export),
		"german.yaml":         german + "artworks:\n- file: a.pdf\n",
		"shop/export.csv":     string(export),
		"shop/house.yaml":     german,
		"only/house.yaml":     "orders: {dates: d/m/y}\n",
		"list.xlsx":           workbook(t, []any{"Orders of the week"}, []any{"order", "quantity"}, []any{"7", 1200}),
		"prices.xlsx":         workbook(t, []any{"item", "price"}, []any{"x", 1}),
		"list.tsv":            "Order\tQuantity\n7\t100\n",
		"titled.csv":          "a night\n\norder,quantity\n7,100\n",
		"only-quantities.csv": "name,quantity\nx,3\n",
		"readme.txt":          "nothing, of note\n",
		"orders.yaml":         "orders:\n- {order: a, quantity: 3}\n",
	})
	check := func(want map[string]string) {
		t.Helper()
		list, err := f.Of(Orders)
		if err != nil {
			t.Fatal(err)
		}
		got := map[string]string{}
		for _, e := range list {
			got[e.Path] = e.By
		}
		for path, by := range want {
			if b, ok := got[path]; !ok || b != by {
				t.Errorf("%s is an order list: %t, by %q, want %q", path, ok, b, by)
			}
		}
		if len(got) != len(want) {
			t.Errorf("the order lists are %v", got)
		}
	}
	check(map[string]string{"export.csv": "german.yaml", "shop/export.csv": "", "list.xlsx": "", "list.tsv": "", "titled.csv": "", "orders.yaml": ""})
	tables, err := f.Of(Table)
	if err != nil || len(tables) != 1 || tables[0].Path != "only-quantities.csv" {
		t.Errorf("the tables are %v (%v)", tables, err)
	}
	// What a job says of it is asked anew when it has changed.
	text, _ := f.Read("german.yaml", 1000)
	if err := f.Replace("german.yaml", Version(text), []byte("orders: {columns: {order: Auftrag, quantity: Zahl}}\nartworks:\n- file: abc.pdf\n")); err != nil {
		t.Fatal(err)
	}
	// So does what a night's runs share, which has no artworks.
	if err := f.Replace("runs.yaml", "", []byte("press: press.yaml\n"+german)); err != nil {
		t.Fatal(err)
	}
	check(map[string]string{"export.csv": "runs.yaml", "shop/export.csv": "", "list.xlsx": "", "list.tsv": "", "titled.csv": "", "orders.yaml": ""})
	houses, err := f.Of(House)
	if err != nil || len(houses) != 2 {
		t.Errorf("the houses are %v (%v)", houses, err)
	}
}
