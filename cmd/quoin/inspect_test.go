package main

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"
)

// invoke runs the program in this process and gives what it wrote.
func invoke(t *testing.T, args ...string) (code int, out, said string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = run(context.Background(), streams{out: &stdout, err: &stderr}, args)
	return code, stdout.String(), stderr.String()
}

// TestCoverageOfASample asks for the plates of a sample label on the command
// line; what they say is compared with tiffsep in impose/plate.
func TestCoverageOfASample(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a renderer")
	}
	t.Parallel()
	const label = "../../samples/artwork/orchard-cider.pdf"
	code, out, said := invoke(t, "inspect", label, "--coverage", "--ink-limit", "200", "--json")
	if code != 0 {
		t.Fatalf("exit code %d: %s", code, said)
	}
	var report struct {
		Pages []struct {
			Coverage struct {
				Inks []struct {
					Name  string
					Trim  float64 `json:"percent_trim"`
					Bleed float64 `json:"percent_bleed"`
				}
				Total       float64    `json:"total_max_percent"`
				At          [2]float64 `json:"total_max_at_mm"`
				Approximate []struct{ What, Why string }
				Findings    []string
			}
		}
	}
	if err := json.Unmarshal([]byte(out), &report); err != nil {
		t.Fatal(err)
	}
	c := report.Pages[0].Coverage
	if len(c.Inks) != 6 || c.Inks[1].Name != "Magenta" || c.Inks[1].Trim < 40 || c.Inks[1].Bleed < c.Inks[1].Trim {
		t.Errorf("the inks are %+v", c.Inks)
	}
	if c.Total < 240 || c.Total > 255 || c.At[0] <= 0 || c.At[1] <= 0 || c.Approximate == nil {
		t.Errorf("the total is %v at %v, approximate %v", c.Total, c.At, c.Approximate)
	}
	if len(c.Findings) == 0 || !strings.Contains(strings.Join(c.Findings, "\n"), "more than the limit of 200 %") {
		t.Errorf("the findings are %q", c.Findings)
	}
	_, text, _ := invoke(t, "inspect", label, "--coverage")
	if !strings.Contains(text, "Coverage   ink") || !strings.Contains(text, "Total ink  at most") {
		t.Errorf("the text has no coverage:\n%s", text)
	}
}
