// Package condition finds the printing condition of a run: the profile of its
// output intent, and the spectra of spot colours that artworks carry beside it.
package condition

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/colour"
	"quoin/impose/colour/cielab"
	"quoin/impose/colour/cxf"
	"quoin/impose/colour/profile"
	"quoin/impose/pdfobj"
	"quoin/impose/say"
)

const (
	maxProfile  = 64 << 20 // bytes
	maxSpectral = 8 << 20  // bytes of one ink's spectral data
)

// Found is what an artwork, or several, say of their printing condition.
type Found struct {
	Profile *profile.Profile // nil if none
	Name    string           // of the condition, for people
	Spectra []cxf.Colour     // of the spots, in the order of their names
	Notes   []string         // what could not be used, and why
}

// Solids returns the spectra of the spots' solids by name.
func (f *Found) Solids() map[string]cielab.Spectrum {
	out := map[string]cielab.Spectrum{}
	for _, c := range f.Spectra {
		if _, have := out[c.Name]; !have && c.Percent == 100 {
			out[c.Name] = c.Spectrum
		}
	}
	return out
}

// Add takes what a page says; the first profile stands.
func (f *Found) Add(p *artwork.Page) {
	intent := p.OutputIntent
	if intent == nil {
		return
	}
	if f.Profile == nil && intent.Profile != nil {
		data, err := stream(p.Doc, intent.Profile, maxProfile)
		if err == nil {
			err = f.take(data, intent.Condition)
		}
		if err != nil {
			f.Notes = append(f.Notes, fmt.Sprintf("%s: the output intent's profile gives no aims: %v", p.BaseName(), err))
		}
	}
	f.spectral(p)
}

func (f *Found) take(data []byte, name string) error {
	parsed, err := profile.Parse(data)
	if err != nil {
		return err
	}
	f.Profile, f.Name = parsed, name
	if f.Name == "" {
		f.Name = parsed.Name
	}
	return nil
}

// Read takes a profile from a file, in place of any other.
func (f *Found) Read(path string) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return fmt.Errorf("the profile: %w", err)
	}
	if err := f.take(data, ""); err != nil {
		return &say.Refusal{Kind: say.BadFile, Text: path, Err: err}
	}
	if f.Name == "" {
		f.Name = filepath.Base(path)
	}
	return nil
}

// spectral takes the spectra of an output intent (PDF 2.0, SpectralData: a
// stream of CxF/X-4 for each spot).
func (f *Found) spectral(p *artwork.Page) {
	data := p.Doc.Dict(p.OutputIntent.Dict["SpectralData"])
	var names []string
	for name := range data {
		names = append(names, string(name))
	}
	slices.Sort(names)
	for _, name := range names {
		ink := pdfobj.Name(name).Text()
		if slices.ContainsFunc(f.Spectra, func(c cxf.Colour) bool { return c.Name == ink }) {
			continue // an earlier artwork's
		}
		s := p.Doc.Stream(data[pdfobj.Name(name)])
		if s == nil {
			continue
		}
		text, err := stream(p.Doc, s, maxSpectral)
		var colours []cxf.Colour
		if err == nil {
			colours, err = cxf.Parse(text)
		}
		if err != nil {
			f.Notes = append(f.Notes, fmt.Sprintf("%s: the spectra of %q can't be used: %v", p.BaseName(), ink, err))
			continue
		}
		for _, c := range colours {
			c.Name = ink // the ink's name in the file is what counts
			f.Spectra = append(f.Spectra, c)
		}
	}
}

func stream(doc *pdfobj.Document, s *pdfobj.Stream, most int64) ([]byte, error) {
	r, err := doc.Decoded(s)
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	if err == nil && int64(len(data)) > most {
		err = fmt.Errorf("it is larger than %d MiB", most>>20)
	}
	return data, err
}

// OfRun opens a run's artworks, as seen from here or else from the summary's
// folder. One that is gone or can't be read is a note: the run may be judged by
// a profile or a house file that is named.
func OfRun(r *colour.PressRun) *Found {
	f := &Found{}
	for _, i := range order(r) {
		a := r.Artworks[i]
		file, err := open(r.Path, a.Path)
		if err != nil {
			f.Notes = append(f.Notes, fmt.Sprintf("%s is asked for its output intent and can't be read: %v", a.File, err))
			continue
		}
		if p, err := file.Page(max(1, a.Page)); err == nil {
			f.Add(p)
		} else {
			f.Notes = append(f.Notes, fmt.Sprintf("%s is asked for its output intent and can't be read: %v", a.File, err))
		}
		_ = file.Close() // only read
	}
	return f
}

// order puts the artwork first whose output intent the run took.
func order(r *colour.PressRun) []int {
	var out []int
	first := 0
	if r.Written != nil && r.Written.Intent != nil {
		first = r.Written.Intent.Artwork
	}
	for i, a := range r.Artworks {
		if a.Artwork == first {
			out = slices.Insert(out, 0, i)
		} else {
			out = append(out, i)
		}
	}
	return out
}

func open(summary, path string) (*artwork.File, error) {
	file, err := artwork.Open(path, artwork.Options{})
	if errors.Is(err, fs.ErrNotExist) && !filepath.IsAbs(path) {
		if beside, again := artwork.Open(filepath.Join(filepath.Dir(summary), path), artwork.Options{}); again == nil {
			return beside, nil
		}
	}
	return file, err
}
