package artwork

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// onePage writes a PDF whose object 3 is a page with the given entries; more
// objects follow from 4 on. Where the entries have no MediaBox, it is 100 x
// 60 pt with a trim 10 pt inside.
func onePage(t testing.TB, entries string, more ...string) string {
	t.Helper()
	return withCatalog(t, "", entries, more...)
}

func withCatalog(t testing.TB, catalog, entries string, more ...string) string {
	t.Helper()
	if !strings.Contains(entries, "/MediaBox") {
		entries += " /MediaBox [0 0 100 60] /TrimBox [10 10 90 50] /BleedBox [5 5 95 55]"
	}
	return witness.Handwritten(t, append([]string{
		"<< /Type /Catalog /Pages 2 0 R " + catalog + " >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R " + entries + " >>",
	}, more...)...)
}

func open(t testing.TB, path string, opt Options) *Page {
	t.Helper()
	f, err := Open(path, opt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	p, err := f.Page(1)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// codes lists the codes of the findings, each once, without those given.
func codes(p *Page, but ...string) string {
	var list []string
	for _, f := range p.Findings {
		if !slices.Contains(but, f.Code) && !slices.Contains(list, f.Code) {
			list = append(list, f.Code)
		}
	}
	slices.Sort(list)
	return strings.Join(list, " ")
}

// text gives the text of the first finding with the code.
func text(p *Page, code string) string {
	for _, f := range p.Findings {
		if f.Code == code {
			return f.Text
		}
	}
	return ""
}

func write(t testing.TB, data string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "art.pdf")
	if err := os.WriteFile(path, []byte(data), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}
