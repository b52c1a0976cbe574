package press_test

import (
	"bytes"
	"fmt"
	"os"
	"testing"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
	"quoin/impose/press"
	"quoin/impose/witness"
)

// manyFrames writes a series of so many frames of one letter.
func manyFrames(t testing.TB, n int) []byte {
	t.Helper()
	var file bytes.Buffer
	w, err := press.New(&file, press.Setup{})
	if err != nil {
		t.Fatal(err)
	}
	font := lettering.Mono().Font('0')
	s, err := w.Series(geometry.Size{Across: 40 * mm, Around: 30 * mm}, []draw.Paint{draw.Solid(ink.Black)}, []*draw.Font{font})
	if err != nil {
		t.Fatal(err)
	}
	kept, err := s.Keep(nil)
	if err != nil {
		t.Fatal(err)
	}
	r := s.Renderer()
	for i := range n {
		text := textAt(font, fmt.Sprint(i+1), 0, geometry.Turn0, 5*mm, 5*mm)
		text.Paint = draw.Solid(ink.Black)
		content, err := r.Render([]draw.Text{text})
		if err != nil {
			t.Fatal(err)
		}
		first := int64(2*i + 1)
		if err := s.Add(kept, nil, content, kept, press.About{Frame: int64(i + 1), Lanes: [][3]int64{{1, first, first + 1}}}); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

// No node of either tree has more kids than 256, counts are true, every page has a
// part of its own in the pages' order, and each part leads back to the root.
func TestTreesAreBalanced(t *testing.T) {
	counts := []int{1, 256, 257, 1000, 256*256 + 3}
	if !trials.Long() {
		counts = counts[:4]
	}
	for _, n := range counts {
		file := manyFrames(t, n)
		doc, err := pdfobj.Open(bytes.NewReader(file), int64(len(file)), pdfobj.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		catalog := doc.Dict(doc.Trailer()["Root"])
		var pages []pdfobj.Dict
		var walk func(o pdfobj.Object, depth int) int
		walk = func(o pdfobj.Object, depth int) int {
			node := doc.Dict(o)
			if node["Type"] == pdfobj.Name("Page") {
				pages = append(pages, node)
				return 1
			}
			kids, sum := doc.Array(node["Kids"]), 0
			if len(kids) > 256 || depth > 3 {
				t.Fatalf("%d kids at depth %d", len(kids), depth)
			}
			for _, k := range kids {
				if doc.Dict(k)["Parent"] != o {
					t.Fatalf("a kid of %v names another parent", o)
				}
				sum += walk(k, depth+1)
			}
			if node["Count"] != pdfobj.Integer(sum) {
				t.Fatalf("%v counts %v pages, and has %d", o, node["Count"], sum)
			}
			return sum
		}
		if got := walk(catalog["Pages"], 0); got != n {
			t.Fatalf("%d pages of %d", got, n)
		}
		root := doc.Dict(catalog["DPartRoot"])
		at := 0
		var parts func(o pdfobj.Object, parent pdfobj.Object, depth int)
		parts = func(o, parent pdfobj.Object, depth int) {
			node := doc.Dict(o)
			if node["Type"] != pdfobj.Name("DPart") || node["Parent"] != parent {
				t.Fatalf("%v at depth %d is %v", o, depth, node)
			}
			if node["Start"] != nil {
				if root["RecordLevel"] != pdfobj.Integer(depth) || pages[at]["DPart"] != o || fmt.Sprint(doc.Dict(node["DPM"])["QUOIN_Frame"]) != fmt.Sprint(at+1) {
					t.Fatalf("part %d is %v, its page %v", at+1, node, pages[at])
				}
				at++
				return
			}
			for _, group := range doc.Array(node["DParts"]) {
				kids := doc.Array(group)
				if len(kids) > 256 {
					t.Fatalf("%d parts in a node", len(kids))
				}
				for _, k := range kids {
					parts(k, o, depth+1)
				}
			}
		}
		parts(root["DPartRootNode"], catalog["DPartRoot"], 0)
		if at != n {
			t.Errorf("%d parts of %d pages", at, n)
		}
		if n == 257 {
			witness.QPDFCheck(t, saved(t, file))
		}
	}
}

func saved(t *testing.T, file []byte) string {
	t.Helper()
	path := t.TempDir() + "/parts.pdf"
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}
