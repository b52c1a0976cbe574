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
	"quoin/impose/say"
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
	named              users   // see users
}

// noSource says that an artwork which the summary names can't be read.
func noSource(path string, err error) error {
	return &say.Refusal{Kind: say.Artwork, Text: path, Err: err, Way: "verify from the folder that the job was run in, or put the artworks beside the summary"}
}

// sources opens every artwork of the plan where find says that it lies.
func (c *check) sources(ctx context.Context, o Options, find func(path, want string) (at, sum string, err error)) error {
	docs := map[string]*pdfobj.Document{}
	found := map[string]string{}
	for _, a := range c.plan.Artworks {
		path, ok := found[a.Path]
		if !ok {
			want := c.plan.sum("artwork", a.Path)
			var sum string
			var err error
			if path, sum, err = find(a.Path, want); err != nil {
				return noSource(path, err)
			}
			found[a.Path] = path
			if want != sum {
				c.differs(ArtworkChanged, "", "%s is another file than the one that was placed: its SHA-256 is %.12s..., not %.12s...", path, sum, want)
			}
			opt := pdfobj.Limits{Context: ctx, Permitted: a.PermittedBy != ""}
			if o.Password != nil {
				opt.Password = o.Password(a.File)
			}
			doc, err := pdfobj.OpenFile(path, opt)
			if err != nil {
				return noSource(path, err)
			}
			docs[path] = doc
			c.closers = append(c.closers, doc)
		}
		doc := docs[path]
		page, err := doc.Page(a.Page - 1)
		if err != nil {
			return noSource(path, err)
		}
		c.artworks = append(c.artworks, readSource(path, doc, page.Dict, a.Page))
	}
	return nil
}

// Find returns where an artwork lies that a plan names by a path.
func (o *Options) Find(p *Expected, path string) (string, error) {
	at, _, err := o.find(path, p.sum("artwork", path))
	return at, err
}

// find looks for an artwork where the summary says it is, seen from the working
// folder and from the summary's own, and then beside the summary. Of several
// files it takes the one that was placed, otherwise the first; its SHA-256 is
// the second result. The path of an error is where the summary's folder has it.
func (o *Options) find(path, want string) (at, sum string, err error) {
	if o.Lies != nil {
		at = o.Lies(path)
		sum, err = sha256Of(at)
		return at, sum, err
	}
	places := o.places(path)
	for i, place := range places {
		one, failed := sha256Of(place)
		switch {
		case failed == nil && one == want:
			return place, one, nil
		case failed == nil && sum == "":
			at, sum = place, one
		case failed != nil && i == len(places)-2:
			err = failed
		}
	}
	if sum != "" {
		return at, sum, nil
	}
	return places[len(places)-2], "", err
}

// places lists where an artwork may lie that the summary names by a path.
func (o *Options) places(path string) []string {
	if o.Lies != nil {
		return []string{o.Lies(path)}
	}
	dir := filepath.Dir(o.Summary)
	places := []string{path}
	if !filepath.IsAbs(path) {
		places = append(places, filepath.Join(dir, path))
	}
	return append(places, filepath.Join(dir, filepath.Base(path)))
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
	b := nowhere.including(point{v[0], v[1]}).including(point{v[2], v[3]})
	return b, b[2]-b[0] >= 0.01 && b[3]-b[1] >= 0.01
}

// name is the artwork for people.
func (s *source) name() string { return fmt.Sprintf("%s, page %d", s.path, s.number) }

// placing returns where the page's own space must land for its trim to stand in
// the middle of a station's, turned counter-clockwise.
func (s *source) placing(trim box, turn int) matrix {
	sin, cos := math.Sincos((float64(turn) - s.rotate) * math.Pi / 180)
	sin, cos = math.Round(sin)*s.unit, math.Round(cos)*s.unit
	m := matrix{cos, sin, -sin, cos, 0, 0}
	at, from := trim.centre(), m.apply(s.trim.centre())
	m[4], m[5] = at.x-from.x, at.y-from.y
	return m
}

// sha256Of returns the hash of a file.
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
