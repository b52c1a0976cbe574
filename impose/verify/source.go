package verify

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"

	"quoin/impose/pdfobj"
)

// source is an artwork page, read afresh: its boxes and its rotation are worked
// out here once more, by other code than the one that placed it.
type source struct {
	path   string
	doc    *pdfobj.Document
	page   pdfobj.Dict
	number int

	media, trim, bleed box
	rotate             float64 // degrees, clockwise
	unit               float64 // points in a unit of the page's space
}

// SourceError says that an artwork which the summary names can't be read.
type SourceError struct {
	Path string
	Err  error
}

func (e *SourceError) Error() string { return fmt.Sprintf("%s: %v", e.Path, e.Err) }
func (e *SourceError) Unwrap() error { return e.Err }

// Hint gives the way out.
func (e *SourceError) Hint() string {
	return "verify from the folder that the job was run in, or keep the summary beside its artworks"
}

// sources opens every artwork of the plan. dir is the folder of the summary,
// where artworks are looked for that aren't where the job found them.
func (c *check) sources(ctx context.Context, dir string) error {
	docs := map[string]*pdfobj.Document{}
	for _, a := range c.plan.Artworks {
		path := a.Path
		if _, err := os.Stat(path); err != nil && !filepath.IsAbs(path) {
			path = filepath.Join(dir, path)
		}
		doc, ok := docs[path]
		if !ok {
			sum, err := sha256Of(path)
			if err != nil {
				return &SourceError{path, err}
			}
			if want := c.plan.sum("artwork", a.Path); want != sum {
				c.differs(ArtworkChanged, "", "%s is another file than the one that was placed: its SHA-256 is %.12s..., not %.12s...", path, sum, want)
			}
			if doc, err = pdfobj.OpenFile(path, pdfobj.Options{Context: ctx}); err != nil {
				return &SourceError{path, err}
			}
			docs[path] = doc
			c.closers = append(c.closers, doc)
		}
		page, err := doc.Page(a.Page - 1)
		if err != nil {
			return &SourceError{path, err}
		}
		c.artworks = append(c.artworks, readSource(path, doc, page.Dict, a.Page))
	}
	return nil
}

// readSource reads a page's boxes by the rules of ISO 32000-1 14.11.2.
func readSource(path string, doc *pdfobj.Document, page pdfobj.Dict, number int) *source {
	s := &source{path: path, doc: doc, page: page, number: number, unit: 1}
	read := func(key pdfobj.Name, otherwise box) box {
		b, ok := boxOf(doc, page[key])
		if cut := b.intersect(s.media); ok && key != "MediaBox" {
			b, ok = cut, cut[0] < cut[2] && cut[1] < cut[3]
		}
		if !ok {
			return otherwise
		}
		return b
	}
	s.media = read("MediaBox", box{0, 0, 612, 792}) // what readers take: US Letter, common practice, no source
	crop := read("CropBox", s.media)
	s.bleed = read("BleedBox", crop)
	s.trim = read("TrimBox", read("ArtBox", crop)) // PDF/X allows an ArtBox in its place
	if turned, ok := doc.Number(page["Rotate"]); ok && math.Mod(turned, 90) == 0 {
		s.rotate = math.Mod(turned, 360)
	}
	if unit, ok := doc.Number(page["UserUnit"]); ok && unit > 0 && unit <= 75_000 { // Annex C
		s.unit = unit
	}
	return s
}

// boxOf reads a rectangle by any two opposite corners.
func boxOf(doc *pdfobj.Document, o pdfobj.Object) (box, bool) {
	v, ok := doc.Numbers(o)
	if !ok || len(v) < 4 {
		return nowhere, false
	}
	b := nowhere.add(point{v[0], v[1]}).add(point{v[2], v[3]})
	return b, b[2]-b[0] >= 0.01 && b[3]-b[1] >= 0.01
}

// name is the artwork for people.
func (s *source) name() string { return fmt.Sprintf("%s, page %d", s.path, s.number) }

// placing gives where the page's own space must land for its trim to stand in
// the middle of a station's, turned counter-clockwise.
func (s *source) placing(trim box, turn int) matrix {
	sin, cos := math.Sincos((float64(turn) - s.rotate) * math.Pi / 180)
	sin, cos = math.Round(sin)*s.unit, math.Round(cos)*s.unit
	m := matrix{cos, sin, -sin, cos, 0, 0}
	at, from := trim.centre(), m.apply(s.trim.centre())
	m[4], m[5] = at.x-from.x, at.y-from.y
	return m
}

// sha256Of gives the hash of a file.
func sha256Of(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
