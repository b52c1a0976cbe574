package night

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/summary"
	"quoin/impose/wholefile"
)

// SetHouse makes a job the one that all runs share, for the orders of a file:
// its files are seen from anywhere, and what it leaves open is settled. Set the
// other rules first. Errors are refusals of the kind Usage, or the job's own faults.
func (r *Rules) SetHouse(house *job.Job, orders string) error {
	if err := r.suits(house); err != nil {
		return err
	}
	// Orders' artworks lie beside the order file, the job's own files beside it.
	for _, file := range []*string{&house.Output.Profile, &house.Outline} {
		if *file != "" {
			path, err := filepath.Abs(house.Path(*file))
			if err != nil {
				return err
			}
			*file = path
		}
	}
	house.Dir = ""
	house.Run.Overs = nil // here it is a limit, not an intention
	if house.Press == nil {
		house.Press = CommonPress()
	}
	if err := r.priced(house); err != nil {
		return err
	}
	if house.WebWidth == 0 {
		r.FreeWeb = true
		for _, w := range job.Webs(house) {
			house.WebWidth = max(house.WebWidth, w.Width)
		}
	}
	whole := *house
	whole.Artworks = []job.Artwork{{File: orders, Page: 1, Quantity: 1}}
	if err := whole.Validate(); err != nil {
		return err
	}
	r.House = house.Common()
	return nil
}

// AllPresses lists those that runs may be printed on, the house's first.
func (r *Rules) AllPresses(house *job.Job) []*job.Press {
	return append([]*job.Press{house.Press}, r.Presses...)
}

// priced refuses presses that money can't choose between.
func (r *Rules) priced(house *job.Job) error {
	if r.By != Money {
		if len(r.Presses) > 0 {
			return say.Refuse(say.Usage, "write prices in the press file, or leave out --further-press", "only money chooses between presses")
		}
		return nil
	}
	for _, p := range r.AllPresses(house) {
		if err := pricedPress(p); err != nil {
			return err
		}
	}
	prices := house.Press.Prices
	names := []string{house.Press.Name}
	for _, p := range r.Presses {
		switch {
		case slices.Contains(names, p.Name):
			return say.Refuse(say.Usage, "give each press a name of its own", "two presses are called %s", p.Name)
		case p.Prices.Currency != prices.Currency:
			return say.Refuse(say.Usage, "price all presses in one currency", "%s is priced in %s, %s in %s", p.Name, p.Prices.Currency, names[0], prices.Currency)
		}
		names = append(names, p.Name)
	}
	return nil
}

// suits refuses what no night can do with a house's job.
func (r *Rules) suits(house *job.Job) error {
	switch {
	case house.Nest:
		return say.Refuse(say.Usage, "leave nest out of the job file: gang runs lay straight lanes", "nested labels can't share a run")
	case r.Widths && house.Dies != nil:
		return say.Refuse(say.Usage, "leave out the dies, or --widths mixed", "--widths mixed goes with no die: a die's lanes are of one width")
	case r.Widths && house.Lanes > 0:
		return say.Refuse(say.Usage, "leave lanes out of the job file", "--widths mixed takes as many lanes as the band holds, not %d", house.Lanes)
	case r.Widths && !house.Shape.Rectangular():
		return say.Refuse(say.Usage, "leave out shape and outline, or --widths mixed", "--widths mixed is for rectangles: a label's %s has one size", house.Shape)
	case house.Marks.Eye != nil && !house.TargetLaneGiven():
		return say.Refuse(say.Usage, "say --target-lane, wide enough for the mark's track", "the eye mark needs a target lane of a known width")
	case house.Outline == job.ArtworkOutline:
		return say.Refuse(say.Usage, "say the shape that all orders share: --shape, --radius or a file behind --outline", "each artwork's die line can't be the shape of a whole night")
	}
	return nil
}

// Inputs lists the files that the night is made from, beside the artworks: the
// order file, the house's job file, which may be "", and what that names.
func (r *Rules) Inputs(orders, house string) ([]summary.File, error) {
	files := []struct{ role, path string }{{"orders", orders}, {"job", house}, {"press", r.House.Press.At("name").Path}}
	if d := r.House.Dies; d != nil && len(d.Dies) > 0 {
		files = append(files, struct{ role, path string }{"dies", d.At(0, "number").Path})
	}
	files = append(files, []struct{ role, path string }{{"profile", r.House.Output.Profile}, {"outline", r.House.Outline}, {"earlier plan", r.Earlier}}...)
	for _, p := range r.Presses {
		files = append(files, struct{ role, path string }{"press", p.At("name").Path})
	}
	for _, t := range r.House.Took {
		files = append(files, struct{ role, path string }{"house", t.Path})
	}
	var out []summary.File
	var failed error
	for _, f := range files {
		if f.path != "" {
			in, err := r.input(f.role, f.path)
			failed = errors.Join(failed, err)
			out = append(out, in)
		}
	}
	return out, failed
}

// input names a file that the night is made from as the night's files have it.
func (r *Rules) input(role, path string) (summary.File, error) {
	sum, err := wholefile.SHA256(path)
	if r.NameOf != nil {
		path = r.NameOf(path)
	}
	return summary.File{Role: role, Path: filepath.ToSlash(path), SHA256: sum}, err
}

// pricedPress refuses a press that would print anything for nothing.
func pricedPress(p *job.Press) error {
	where := "the press file"
	if p.Path() != "" {
		where = p.Path()
	}
	switch {
	case p.Prices == nil:
		return say.Refuse(say.Usage, fmt.Sprintf("write prices in %s: currency, web, press", where), "--by money needs prices, and %s has none", p.Name)
	case !p.Prices.Any():
		return say.Refuse(say.Usage, fmt.Sprintf("write what web and press cost in %s, as in web: 0.35/m2 and press: 180/h", where),
			"--by money needs prices, and %s says no more than the currency", p.Name)
	}
	return nil
}
