package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// TestFitCountsInk compares what fit says of an option's ink with what impose says
// of the same run, whose labels stand apart with the same bleed all around.
func TestFitCountsInk(t *testing.T) {
	if testing.Short() {
		t.Skip("draws")
	}
	t.Parallel()
	dir := t.TempDir()
	press := filepath.Join(dir, "press.yaml")
	rules, err := os.ReadFile("../../samples/press.yaml")
	if err != nil {
		t.Fatal(err)
	}
	rules = append(rules, "\nink-use: 1.2g/m2\nprices: {currency: EUR, web: 0.5/m2, ink: 40/kg}\n"...)
	if err := os.WriteFile(press, rules, 0o600); err != nil {
		t.Fatal(err)
	}
	art, pdf, summary := "../../samples/artwork/orchard-juice.pdf", filepath.Join(dir, "o.pdf"), filepath.Join(dir, "o.json")
	shared := []string{art, "--press", press, "--web", "200mm", "--quantity", "1000", "--gap", "4x4mm", "--bleed", "1.5mm", "--turn", "0"}
	code, out, said := invoke(t, append([]string{"fit", "--compare", "--json"}, shared...)...)
	if code != 0 {
		t.Fatalf("exit code %d: %s", code, said)
	}
	var compared struct {
		Ink []struct {
			Name string
			MM2  float64 `json:"label_mm2"`
		}
		Options []struct {
			Frames  int64
			Labels  int
			TurnDeg int     `json:"turn_deg"`
			InkM2   float64 `json:"ink_m2"`
			InkG    float64 `json:"ink_g"`
			InkCost float64 `json:"ink_cost"`
		}
	}
	if err := json.Unmarshal([]byte(out), &compared); err != nil {
		t.Fatal(err)
	}
	if code, _, said = invoke(t, append([]string{"impose", "-o", pdf, "--summary", summary}, shared...)...); code != 0 {
		t.Fatalf("exit code %d: %s", code, said)
	}
	data, err := os.ReadFile(summary)
	if err != nil {
		t.Fatal(err)
	}
	var imposed struct {
		Ink []struct {
			Name string
			M2   float64
		} `json:"ink_use"`
	}
	if err := json.Unmarshal(data, &imposed); err != nil {
		t.Fatal(err)
	}
	if len(imposed.Ink) == 0 || len(compared.Ink) != len(imposed.Ink) || len(compared.Options) == 0 {
		t.Fatalf("compared %+v, imposed %+v", compared, imposed)
	}
	o, sum := compared.Options[0], 0.0
	for i, k := range compared.Ink {
		m2 := k.MM2 / 1e6 * float64(o.Frames*int64(o.Labels))
		sum += m2
		if u := imposed.Ink[i]; u.Name != k.Name || m2 > u.M2+.01 || m2 < .9*u.M2-.01 { // the frame's marks and targets take ink too
			t.Errorf("%s: compared %.3f m2, imposed %.3f m2 of %s", k.Name, m2, u.M2, u.Name)
		}
	}
	if math.Abs(o.InkM2-sum) > 1e-9 || math.Abs(o.InkG-1.2*sum) > 1e-9 || math.Abs(o.InkCost-o.InkG*.04) > 1e-9 {
		t.Errorf("the option's ink is %+v, of %.3f m2", o, sum)
	}
}
