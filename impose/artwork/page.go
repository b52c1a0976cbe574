package artwork

import (
	"fmt"
	"path/filepath"
	"slices"

	"quoin/geometry"
	"quoin/impose/pdfobj"
)

// Page is one page of an artwork, ready to be placed.
type Page struct {
	File   *File
	Doc    *pdfobj.Document
	Ref    pdfobj.Ref  // zero if the page is no object of its own
	Dict   pdfobj.Dict // with inherited attributes filled in; never change it
	Number int         // from 1

	Boxes    Boxes
	Rotate   int     // clockwise, 0, 90, 180 or 270 degrees
	UserUnit float64 // points in a unit of the page's space

	Group        pdfobj.Dict // the page's transparency group; nil if none
	OutputIntent *OutputIntent
	Layers       []Layer // those that the page uses, in the document's order
	Inks         []Usage
	Mixtures     [][]string // the inks of each DeviceN space, None left out; each list once
	Devices      []Device   // device spaces that nothing defines
	Fonts        []Font
	Images       []Image
	Appearances  []Appearance // annotations that print, in painting order
	Transparency bool         // alpha, blend modes, soft masks or groups are used
	Overprint    bool         // something that prints overprints
	Tiling       bool         // tiling patterns may be used
	Tiled        []Tiled      // how those are used, each way once
	TiledLoose   bool         // some are used in ways that Tiled doesn't tell
	// Turned are the forms that are painted in more than one turn or size: how
	// patterns in them lie is not told for each.
	Turned   map[pdfobj.Ref]bool
	Details  []Detail // fine text and lines in several inks
	Alone    []Rect   // small shapes and lines that lie whole within the trim, in the page's space
	Findings []Finding

	// Lent gives, by what has no resources of its own, those with which it is
	// used; nil for the page's.
	Lent map[pdfobj.Ref]pdfobj.Object

	separations map[string]pdfobj.Object
	dieLine     *DieLine
	dieFault    error
}

// Name returns the page for people: "label.pdf" or "label.pdf, page 2".
func (p *Page) Name() string { return p.named(p.File.Path) }

// BaseName is Name without the file's folder, which is no business of those who
// are sent what the page is placed in.
func (p *Page) BaseName() string { return p.named(filepath.Base(p.File.Path)) }

func (p *Page) named(file string) string {
	if p.File.pages == 1 {
		return file
	}
	return fmt.Sprintf("%s, page %d", file, p.Number)
}

func readPage(f *File, source *pdfobj.Page, number int) (*Page, error) {
	doc, found := f.Doc, &findings{}
	p := &Page{File: f, Doc: doc, Ref: source.Ref, Dict: source.Dict, Number: number}
	p.Boxes = readBoxes(doc, p.Dict, found.page)
	p.Rotate = readRotate(doc, p.Dict["Rotate"], found.page)
	p.UserUnit = readUserUnit(doc, p.Dict["UserUnit"], found.page)
	p.checkBleed(found)
	if g := doc.Dict(p.Dict["Group"]); doc.Name(g["S"]) == "Transparency" {
		p.Group = g
	}
	p.OutputIntent = readIntent(f, p.Dict, found.page)
	if p.OutputIntent == nil {
		found.page(NoIntent, "no output intent says which printing condition the colours are meant for")
	}
	p.checkActions(found)
	s := newScan(p, found)
	if err := s.run(); err != nil {
		return nil, err
	}
	finishScan(s)
	if doc.Encrypted() {
		found.page(Encrypted, "the file was encrypted without a password; what is placed of it is not")
	}
	if note := doc.Damage().Tree(); note != "" {
		found.page(PageTreeMended, "%s: page %d may be another one than it was", note, number)
	}
	if notes := doc.Damage().Notes(); len(notes) > 0 {
		found.page(Repaired, "the file was damaged and has been repaired: %s%s", notes[0], more(len(notes)-1))
	}
	p.Findings = found.list
	return p, nil
}

func more(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(" (and %d more)", n)
}

// bleedTolerance is what the rounding of two boxes to hundredths of a point
// can cost, and a little more: nobody cuts as exactly.
const bleedTolerance = 10 * geometry.Micrometre

func (p *Page) checkBleed(found *findings) {
	if !p.Boxes.Given.Bleed {
		found.page(NoBleedBox, "the page has no BleedBox; the %s counts as the bleed", map[bool]string{true: "CropBox", false: "MediaBox"}[p.Boxes.Given.Crop])
	}
	want, have := p.File.opt.Bleed, p.Bleed()
	if have.Left == have.Right && have.Right == have.Top && have.Top == have.Bottom {
		if have.Left < want-bleedTolerance {
			found.page(BleedShort, "the bleed is %s on every side; %s are wanted", have.Left, want)
		}
		return
	}
	for _, side := range []string{"left", "right", "top", "bottom"} {
		if have.at(side) < want-bleedTolerance {
			found.page(BleedShort, "the bleed at the %s is %s; %s are wanted", side, have.at(side), want)
		}
	}
}

// checkActions looks for what an imposed page leaves behind.
func (p *Page) checkActions(found *findings) {
	doc, catalog := p.Doc, p.Doc.Catalog()
	var kinds []string
	if doc.Dict(doc.Dict(catalog["Names"])["JavaScript"]) != nil {
		kinds = append(kinds, "JavaScript")
	}
	action := doc.Dict(catalog["OpenAction"])
	if catalog["AA"] != nil || action != nil && action["S"] != nil || p.Dict["AA"] != nil {
		kinds = append(kinds, "actions")
	}
	if doc.Dict(catalog["AcroForm"])["XFA"] != nil {
		kinds = append(kinds, "an XFA form")
	}
	slices.Sort(kinds)
	for _, k := range kinds {
		found.page(ActionsDropped, "the file has %s; a placed page leaves that behind", k)
	}
}
