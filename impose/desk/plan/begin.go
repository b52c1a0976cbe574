package plan

import (
	"bytes"
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/desk/edit"
	"quoin/impose/desk/folder"
	"quoin/impose/ink"
	"quoin/impose/job"
	"quoin/impose/say"
)

// proposed are the keys of the last job that a new one begins with: what the
// house works with, not what the job was about.
var proposed = []string{"press", "web", "edge", "target-lane", "material.name", "material.kind", "material.caliper", "gap", "bleed", "dies", "edge-matrix",
	"marks.register.size", "marks.register.line", "marks.slit", "marks.centre", "marks.trim", "marks.slug", "targets.patch", "targets.grey", "targets.overprints",
	"targets.along", "overs", "winding", "windings", "roll.labels", "roll.core", "roll.max-diameter", "roll.splices"}

// Begin writes a job of artworks of the folder: what they say of themselves, and
// the press, web and material of the last job, which may be nil. An artwork that
// can't be opened is an *artwork.Error.
func Begin(f *folder.Folder, artworks []string, last []byte) ([]byte, error) {
	var edits []edit.Edit
	said := edit.Values(last)
	for _, k := range proposed {
		if v := said[k]; v != "" {
			if !strings.HasPrefix(v, "[") && v != "true" && v != "false" {
				v = edit.Text(v)
			}
			edits = append(edits, edit.Edit{Key: k, Value: v})
		}
	}
	house, err := houseJob(f)
	if err != nil {
		return nil, err
	}
	if said["press"] == "" {
		edits = append(edits, firstPress(f, house)...)
	}
	text, err := edit.Apply(nil, Order, edits...)
	if err != nil {
		return nil, err
	}
	for _, file := range artworks {
		if text, err = addArtwork(f, ".", text, file, house); err != nil {
			return nil, err
		}
	}
	return bytes.TrimLeft(text, "\n"), nil
}

// AddLanes adds artworks of the folder to the text of a job.
func AddLanes(f *folder.Folder, at string, text []byte, artworks []string) (_ []byte, err error) {
	for _, file := range artworks {
		if text, err = addArtwork(f, path.Dir(at), text, file, nil); err != nil {
			return nil, err
		}
	}
	return text, nil
}

// addArtwork adds an artwork to a job that stands in a folder, a product for each page.
// A new job takes over its bleed and what it calls technical, except what its
// house says already; for a job that is there, house is nil.
func addArtwork(f *folder.Folder, from string, text []byte, file string, house *job.Job) ([]byte, error) {
	pages, technical, bleed, err := survey(f, file)
	if err != nil {
		return nil, err
	}
	name, err := filepath.Rel(filepath.FromSlash(from), filepath.FromSlash(file))
	if err != nil {
		return nil, err
	}
	var edits []edit.Edit
	said := edit.Values(text)
	if house != nil && bleed > 0 {
		wanted, err := geometry.ParseLength(said["bleed"])
		if err != nil {
			wanted = house.Bleed
		}
		if wanted == 0 || bleed < wanted { // no more than the artwork has
			edits = append(edits, edit.Edit{Key: "bleed", Value: bleed.Digits() + "mm"})
		}
	}
	if house != nil && len(house.Inks.Technical) == 0 && len(technical) > 0 && said["inks.technical"] == "" {
		for i, n := range technical {
			technical[i] = edit.Text(n)
		}
		edits = append(edits, edit.Edit{Key: "inks.technical", Value: "[" + strings.Join(slices.Compact(technical), ", ") + "]"})
	}
	if text, err = edit.Apply(text, Order, edits...); err != nil {
		return nil, err
	}
	for n := 1; n <= pages; n++ {
		product := strings.TrimSuffix(path.Base(file), path.Ext(file))
		item := []edit.Edit{{Key: "file", Value: edit.Text(filepath.ToSlash(name))}}
		if pages > 1 {
			item = append(item, edit.Edit{Key: "page", Value: strconv.Itoa(n)})
			product += " " + strconv.Itoa(n)
		}
		item = append(item, edit.Edit{Key: "product", Value: edit.Text(product)})
		if text, err = edit.Append(text, Order, "artworks", item); err != nil {
			return nil, err
		}
	}
	return text, nil
}

// houseJob returns what a job of the folder that says nothing takes from its house.
func houseJob(f *folder.Folder) (*job.Job, error) {
	houses, err := Houses(f, "job.yaml")
	if err != nil {
		return nil, err
	}
	return houses.New(f.Path, nil)
}

// firstPress returns the folder's first press and the die room, where neither a job
// nor the house says them.
func firstPress(f *folder.Folder, house *job.Job) (list []edit.Edit) {
	for kind, key := range map[folder.Kind]string{folder.Press: "press", folder.Dies: "dies"} {
		if kind == folder.Press && house.Press != nil || kind == folder.Dies && house.Dies != nil {
			continue
		}
		if found, err := f.Of(kind); err == nil && len(found) > 0 {
			list = append(list, edit.Edit{Key: key, Value: edit.Text(found[0].Path)})
		}
	}
	return list
}

// mostPages bounds the pages of one artwork that become products.
const mostPages = 50

// survey asks an artwork what it says of itself: its pages, its technical inks,
// and how much bleed all of them have.
func survey(f *folder.Folder, file string) (pages int, technical []string, bleed geometry.Length, err error) {
	abs, err := f.Abs(file)
	if err != nil {
		return 0, nil, 0, err
	}
	a, err := artwork.Open(filepath.Clean(abs), artwork.Options{})
	if err != nil {
		return 0, nil, 0, err
	}
	defer a.Close()
	pages = min(a.Pages(), mostPages)
	least := geometry.Length(-1)
	for n := 1; n <= pages; n++ {
		p, err := a.Page(n)
		if err != nil {
			return 0, nil, 0, err
		}
		for _, u := range p.Inks {
			if u.Kind == ink.Technical {
				technical = append(technical, u.Name)
			}
		}
		if b := leastBleed(p); least < 0 || b < least {
			least = b
		}
	}
	return pages, technical, least, nil
}

// leastBleed is what a page has on all sides.
func leastBleed(p *artwork.Page) geometry.Length {
	b := p.Bleed()
	return min(b.Left, b.Top, b.Right, b.Bottom)
}

// Again returns the text of the result's job with another artwork in the place of one,
// the first being 1. Where look-alikes were parted, it names their lanes: those of a
// job that is printed again stay.
func (r *Result) Again(text []byte, number int, file string) ([]byte, error) {
	name, err := filepath.Rel(filepath.FromSlash(path.Dir(r.Path)), filepath.FromSlash(file))
	if err != nil {
		return nil, err
	}
	key := "artworks[" + strconv.Itoa(number-1) + "]"
	edits := []edit.Edit{{Key: key + ".file", Value: edit.Text(filepath.ToSlash(name))}}
	if edit.Values(text)[key+".page"] != "" {
		edits = append(edits, edit.Edit{Key: key + ".page", Value: "1"})
	}
	for i, lanes := range r.parted {
		edits = append(edits, edit.Edit{Key: fmt.Sprintf("artworks[%d].lanes", i), Value: "[" + strings.Join(say.Numbers(lanes), ", ") + "]"})
	}
	return edit.Apply(text, Order, edits...)
}
