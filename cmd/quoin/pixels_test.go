package main

import (
	"encoding/json"
	"path/filepath"
	"testing"
)

// TestVerifyPixels proves a small frame by its pixels.
func TestVerifyPixels(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a renderer")
	}
	t.Parallel()
	dir := t.TempDir()
	pdf, summary := filepath.Join(dir, "out.pdf"), filepath.Join(dir, "out.json")
	code, _, said := invoke(t, "impose", "../../samples/artwork/orchard-juice.pdf", "--web", "180mm", "--frame-max", "160mm", "--quantity", "1000", "--turn", "90", "-o", pdf, "--summary", summary)
	if code != 0 {
		t.Fatalf("exit code %d: %s", code, said)
	}
	code, out, said := invoke(t, "verify", pdf, summary, "--pixels", "--json")
	if code != 0 {
		t.Fatalf("exit code %d: %s\n%s", code, said, out)
	}
	var result struct {
		Pixels struct {
			Stations int
			Worst    float64         `json:"worst_percent"`
			At       json.RawMessage `json:"worst_at"`
		}
	}
	if err := json.Unmarshal([]byte(out), &result); err != nil {
		t.Fatal(err)
	}
	if p := result.Pixels; p.Stations < 2 || p.Worst > 3 || p.At == nil {
		t.Errorf("the pixels are %+v", p)
	}
}
