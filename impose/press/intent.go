package press

import (
	"fmt"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// Intent is the printing condition that the job is made for: that of an
// artwork, carried over whole, or one given by the job.
type Intent struct {
	From      *artwork.Page // its file's PDF/X output intent is carried over
	Condition string        // OutputConditionIdentifier, when From is nil
	Info      string
	Registry  string
	Profile   []byte // ICC profile of the printing condition
}

// outputIntent writes the output intent dictionary (ISO 32000-1 14.11.5), or
// gives nil when the job has none.
func (w *Writer) outputIntent(in Intent) (pdfobj.Object, error) {
	if in.From != nil {
		if in.From.OutputIntent == nil {
			return nil, nil
		}
		copied, err := w.forms.copier(in.From.Doc).Copy(in.From.OutputIntent.Dict)
		if err != nil {
			return nil, fmt.Errorf("%s: its output intent: %w", in.From.Name(), err)
		}
		return copied, nil
	}
	if in.Condition == "" && in.Profile == nil {
		return nil, nil
	}
	d := pdfobj.Dict{
		"Type": pdfobj.Name("OutputIntent"), "S": pdfobj.Name("GTS_PDFX"),
		"OutputConditionIdentifier": textString(in.Condition),
	}
	if in.Info != "" {
		d["Info"] = textString(in.Info)
	}
	if in.Registry != "" {
		d["RegistryName"] = textString(in.Registry)
	}
	if in.Profile != nil {
		components, err := profileComponents(in.Profile)
		if err != nil {
			return nil, err
		}
		if d["DestOutputProfile"], err = putStream(w.out, pdfobj.Dict{"N": pdfobj.Integer(components)}, in.Profile, true); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// profileComponents reads how many components an ICC profile's device has,
// from its header (ICC.1:2010 7.2: "acsp" at 36, colour space at 16).
func profileComponents(profile []byte) (int, error) {
	if len(profile) < 128 || string(profile[36:40]) != "acsp" {
		return 0, fmt.Errorf("the output intent's profile is not an ICC profile")
	}
	switch space := string(profile[16:20]); space {
	case "CMYK":
		return 4, nil
	case "RGB ":
		return 3, nil
	case "GRAY":
		return 1, nil
	default:
		return 0, fmt.Errorf("the output intent's profile is for %q; CMYK, RGB or GRAY can stand there", space)
	}
}

// Blend says which colour space the frame's page blends transparency in. A
// page's group is isolated, but the same group placed as a form may not be, and
// then blends in the space of what it is painted on (ISO 32000-1 11.4.7,
// 11.6.6). So the frame blends in the artwork's space, or the artwork is
// isolated as it was by itself.
type Blend struct {
	From *artwork.Page // carries its page group's space over; nil for none
}

// same reports whether the frame blends in the space of a page's group.
func (b Blend) same(p *artwork.Page) bool {
	own := p.Doc.Name(p.Group["CS"])
	return b.From == p || b.From != nil && own != "" && own == b.From.Doc.Name(b.From.Group["CS"])
}

// blendGroup writes the frames' page group, or gives nil for none.
func (w *Writer) blendGroup(b Blend) (pdfobj.Object, error) {
	if b.From == nil || b.From.Group["CS"] == nil {
		return nil, nil
	}
	copied, err := w.forms.copier(b.From.Doc).Copy(b.From.Group["CS"])
	if err != nil {
		return nil, fmt.Errorf("%s: its blend space: %w", b.From.Name(), err)
	}
	return put(w.out, pdfobj.Dict{"Type": pdfobj.Name("Group"), "S": pdfobj.Name("Transparency"), "CS": copied, "I": true})
}
