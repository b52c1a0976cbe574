package deskwalk

import (
	"path/filepath"
	"strings"
	"testing"
)

// TestDeskForeignOrders: an export with the columns of a sales system is an order
// list once a job says what they mean, and opens with that job; without one its
// page says what it lacks.
func TestDeskForeignOrders(t *testing.T) {
	t.Parallel()
	dir := samplesIn(t)
	d := openDesk(t, dir)
	other := func(v map[string]any) (paths string) {
		for _, l := range v["tables"].([]any) {
			paths += l.(map[string]any)["path"].(string) + " "
		}
		return paths
	}
	if _, text := d.ask("GET", "/nights", ""); !strings.Contains(other(values(t, text)), "orders-export.csv ") {
		t.Errorf("the export is not among the other tables: %s", text)
	}
	code, page := d.asks("/night/orders-export.csv")
	if code != 200 || !strings.Contains(page, "left out") || !strings.Contains(page, "Job for all runs") {
		t.Errorf("the page of an export that isn't understood: %d", code)
	}
	put(t, filepath.Join(dir, "german.yaml"), "press: press.yaml\nweb: 340mm\norders: {columns: {order: Auftrag, quantity: Menge, product: Artikel, artwork: Datei, due: Liefertermin}}\nartworks: [{file: artwork/orchard-juice.pdf}]\n")
	found := false
	_, text := d.ask("GET", "/nights", "")
	for _, l := range values(t, text)["lists"].([]any) {
		one := l.(map[string]any)
		found = found || one["path"] == "orders-export.csv" && one["by"] == "german.yaml"
	}
	if !found {
		t.Errorf("the export is no order list by german.yaml: %s", text)
	}
	code, _, head := d.send(hostile{name: "open the export", method: "GET", path: "/night/orders-export.csv", set: map[string]string{"Accept": "text/html"}})
	if code != 303 || head.Get("Location") != "/night/orders-export.csv?job=german.yaml" {
		t.Errorf("it opens with %d %s", code, head.Get("Location"))
	}
	_, text = d.ask("GET", "/night/orders-export.csv?job=german.yaml", "")
	if v := values(t, text); len(v["orders"].([]any)) != 3 || v["labels"] != 42500.0 {
		t.Errorf("its orders are read as %.600s", text)
	}
}
