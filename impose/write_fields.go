package impose

import (
	"cmp"
	"fmt"
	"strings"

	"quoin/geometry"
	"quoin/impose/barcode"
	"quoin/impose/draw/typeface"
	"quoin/impose/gs1"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/vary"
	"quoin/impose/wholefile"
)

// variedFields returns fields of the job in the words of the run.
func variedFields(in *Sources, fonts openedFonts, fields []job.Field) (list []vary.Field, err error) {
	for i, f := range fields {
		field, err := variedField(in, fonts, i, f)
		if err != nil {
			return nil, err
		}
		list = append(list, field)
	}
	return list, nil
}

// variedField returns a field of the job in the words of the run.
func variedField(in *Sources, fonts openedFonts, i int, f job.Field) (vary.Field, error) {
	v := vary.Field{
		Name: f.Name, Value: f.Value, At: geometry.Position{Across: f.At.Across, Around: f.At.Around},
		Turn: f.Turn, Ink: f.Ink, Overprint: f.Overprint, Link: f.Link,
	}
	for _, e := range f.Elements {
		v.Elements = append(v.Elements, gs1.Element(e))
	}
	v.Name = cmp.Or(v.Name, fmt.Sprintf("%d (%s)", i+1, f.Value+gs1.Text(v.Elements)))
	if f.Picture {
		room := roomOf(f)
		v.Ink, v.Picture = "", &room
		return v, nil
	}
	if strings.Contains(f.Ink, "{") && f.Symbol == "" {
		for _, e := range in.Inks.Inks {
			if e.Prints() {
				v.Inks = append(v.Inks, e.Name)
			}
		}
	} else if e, ok := in.Inks.Find(f.Ink); !ok || !e.Prints() {
		return v, say.Refuse(say.BadFile, "name a process ink or one of the artwork's, as quoin inspect lists them",
			"field %s is to be printed in the ink %q, which the job doesn't print", v.Name, f.Ink)
	}
	if f.Symbol == "" {
		v.Letters = &vary.Letters{
			Face: vary.Face(f.Font), Cap: f.Cap, Width: f.Width, Align: vary.Align(f.Align), Fit: vary.Fit(f.Fit),
			Least: f.Least, LeastShare: f.LeastWidth.Float(), Box: f.Height, Leading: f.Leading,
		}
		return v, fonts.open(v.Letters, in.Job, f)
	}
	dpi := device(in.Job)
	if dpi[0] == 0 {
		return v, say.Refuse(say.BadFile, "give --device-dpi, or the press's resolution", "the resolution of the device is not said, so modules can't be rounded to its pixels")
	}
	cut := 0
	for _, r := range in.Job.Data.Reductions {
		if r.Ink == f.Ink {
			cut = r.Dots
		}
	}
	v.Symbol = &vary.Symbol{
		Kind: barcode.Kind(f.Symbol), Level: barcode.Level(f.Level), Modules: f.Modules, Rectangular: f.Shape == "rectangular",
		Wish: barcode.Wish{
			X: f.Module, Height: f.Height, DPI: dpi[0], Around: dpi[1], Warehouse: f.Warehouse, Plain: f.Plain,
			Cut: cut, HealthCare: f.HealthCare,
		},
	}
	return v, nil
}

// openedFonts are font files by their paths, each opened once.
type openedFonts map[string]vary.Font

// open opens the fonts of a text. A box of text without any is set in the
// built-in ones as if they were files.
func (o openedFonts) open(l *vary.Letters, j *job.Job, f job.Field) error {
	read := func(key string, read func() (vary.Font, error)) error {
		font, known := o[key]
		if !known {
			var err error
			if font, err = read(); err != nil {
				return err
			}
			o[key] = font
		}
		l.Fonts = append(l.Fonts, font)
		return nil
	}
	if len(f.Fonts) == 0 && f.Height > 0 {
		return read(f.Font, l.Face.Font)
	}
	for _, file := range f.Fonts {
		path := j.Path(file)
		err := read(path, func() (vary.Font, error) {
			face, err := typeface.Open(path, j.Lies(path))
			if err != nil {
				return vary.Font{}, err
			}
			sum, err := wholefile.SHA256(j.Lies(path))
			return vary.Font{File: file, Sum: sum, Face: face}, err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// device returns the pixels of the device to the inch, across and around; 0
// where they are not said.
func device(j *job.Job) [2]int {
	switch {
	case j.Data.DPI != 0:
		return [2]int{j.Data.DPI, j.Data.Around}
	case j.Press != nil:
		return [2]int{j.Press.Resolution.Device, j.Press.Resolution.Around}
	}
	return [2]int{}
}
