package impose

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/witness"
)

// page writes a PDF of one page with these boxes, and gives its path.
func page(t *testing.T, entries, content string) string {
	t.Helper()
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << >> "+entries+" >>",
		witness.Stream("", content),
	)
}

// jobFor gives a job for one artwork on a web of 340 mm.
func jobFor(path string) *job.Job {
	j := job.New()
	j.Name = "test"
	j.WebWidth = 340 * geometry.Millimetre
	j.Repeat.Longest = 500 * geometry.Millimetre
	j.Turns = []geometry.Turn{geometry.Turn0}
	j.Artworks = []job.Artwork{{File: path, Page: 1, Quantity: 1000}}
	return j
}

// imposed works a job out, writes its PDF and gives both.
func imposed(t *testing.T, j *job.Job) (*Imposition, string) {
	t.Helper()
	im, err := Open(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { im.Close() })
	var b bytes.Buffer
	if err := im.WritePDF(context.Background(), &b); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "out.pdf")
	if err := os.WriteFile(out, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	return im, out
}

// TestPlacementInTheWrittenFile reads the file with qpdf and works out where
// each station's trim box lands: form matrix, then the matrix before the Do.
// Every corner must be within a micrometre of the layout's.
func TestPlacementInTheWrittenFile(t *testing.T) {
	witness.Need(t, "qpdf")
	boxes := "/MediaBox [-20 -10 180 320] /TrimBox [4.252 6.252 145.984 218.850] /BleedBox [0 2 150.236 223.102]"
	for name, entries := range map[string]string{
		"plain": boxes, "rotated": boxes + " /Rotate 90", "upside down": boxes + " /Rotate -180",
		"back": boxes + " /Rotate 630", "double units": boxes + " /UserUnit 2",
	} {
		for _, turn := range []geometry.Turn{geometry.Turn0, geometry.Turn90, geometry.Turn180, geometry.Turn270} {
			t.Run(name+"/"+turn.String(), func(t *testing.T) {
				j := jobFor(page(t, entries, "0 0 1 0 k 0 0 50 50 re f"))
				j.Turns = []geometry.Turn{turn}
				j.Repeat.Longest = 0
				j.Repeat.Fixed = 12*geometry.Inch*3 + 7 // rows at uneven nanometres
				im, out := imposed(t, j)
				measure(t, im, out)
			})
		}
	}
}

func measure(t *testing.T, im *Imposition, out string) {
	t.Helper()
	pdf := witness.QPDFJSON(t, out)
	const tolerance = 1.0 / 1000 / 25.4 * 72 // a micrometre in points
	frame := im.Layout.Repeat.Points()
	kid := pdf.Get("Root", "Pages", "Kids", 0, "Kids", 0)
	dict, _ := kid.(map[string]any)
	contents, _ := dict["/Contents"].(string)
	data := string(pdf.Data(contents))
	placed := 0
	var cm []float64
	for _, line := range strings.Split(data, "\n") {
		fields := strings.Fields(line)
		switch {
		case len(fields) == 7 && fields[6] == "cm":
			cm = nil
			for _, f := range fields[:6] {
				v, err := strconv.ParseFloat(f, 64)
				if err != nil {
					t.Fatal(err)
				}
				cm = append(cm, v)
			}
		case len(fields) == 2 && fields[1] == "Do":
			want := im.Layout.Station[placed].Trim
			number := im.Places[placed]
			name := fmt.Sprintf("Art%d", number+1)
			if fields[0] != "/"+name {
				t.Fatalf("station %d shows %s, want %s", placed+1, fields[0], name)
			}
			art := im.Pages[number].Boxes.Trim
			form := numbersOf(t, pdf.From(kid, "Resources", "XObject", name, "Matrix"))
			got := [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
			for _, corner := range [][2]float64{{art[0], art[1]}, {art[2], art[3]}} {
				x, y := transform(form, corner[0], corner[1])
				x, y = transform(cm, x, y)
				got = [4]float64{min(got[0], x), min(got[1], y), max(got[2], x), max(got[3], y)}
			}
			// The trim is rounded to the micrometre as a label size, so its
			// middle is what must land.
			expect := [4]float64{want.Min.Across.Points(), frame - want.Max.Around.Points(), want.Max.Across.Points(), frame - want.Min.Around.Points()}
			for i := range got {
				if d := math.Abs(got[i] - expect[i]); d > tolerance {
					t.Errorf("station %d: edge %d is %.6f pt off (%v, want %v)", placed+1, i, d, got, expect)
				}
			}
			placed++
		}
	}
	if placed != im.Layout.Labels() {
		t.Fatalf("%d stations are painted, want %d", placed, im.Layout.Labels())
	}
}

func transform(m []float64, x, y float64) (float64, float64) {
	return m[0]*x + m[2]*y + m[4], m[1]*x + m[3]*y + m[5]
}

func numbersOf(t *testing.T, v any) []float64 {
	t.Helper()
	list, ok := v.([]any)
	if !ok {
		t.Fatalf("%v is no array", v)
	}
	out := make([]float64, len(list))
	for i, e := range list {
		if out[i], ok = e.(float64); !ok {
			t.Fatalf("%v is no number", e)
		}
	}
	return out
}
