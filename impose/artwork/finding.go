package artwork

import (
	"fmt"
	"slices"

	"quoin/impose/say"
)

// Level tells how much a finding matters.
type Level string

// The levels.
const (
	Fault   Level = "fault"   // would print wrong: the page can't be placed
	Warning Level = "warning" // may print wrong: look at it
	Notice  Level = "notice"  // good to know
)

// Finding is something about a page that a person should know.
type Finding struct {
	Code   string `json:"code"` // stable, for scripts
	Level  Level  `json:"level"`
	Text   string `json:"text"`             // a sentence with its numbers, without a full stop
	Object string `json:"object,omitempty"` // where: "object 12", "image Im0, object 7"; may be empty
}

// The codes of findings. They never change their meaning.
const (
	NoMediaBox      = "no-mediabox"
	NoTrimBox       = "no-trimbox"
	NoBleedBox      = "no-bleedbox"
	BoxInvalid      = "box-invalid"
	BoxOutside      = "box-outside-media"
	BleedInsideTrim = "bleed-inside-trim"
	BleedShort      = "bleed-short"
	RotateInvalid   = "rotate-invalid"
	UserUnitInvalid = "userunit-invalid"
	NoIntent        = "no-output-intent"
	ProfileInvalid  = "profile-invalid"
	Encrypted       = "encrypted"
	Repaired        = "repaired"
	ActionsDropped  = "actions-dropped"
	LayerHidden     = "layer-hidden"
	LayerAutomatic  = "layer-automatic"
	DieLineDiffers  = "die-line-differs"
	DieLineUnclear  = "die-line-unclear"

	RGB                = "rgb"
	RGBWithoutSpace    = "rgb-without-space"
	RGBGroup           = "rgb-group"
	ForeignCMYK        = "cmyk-of-other-profile"
	IntentCMYK         = "cmyk-of-intent-profile"
	OverprintMode      = "overprint-mode-profile"
	SpaceUnknown       = "colour-space-unknown"
	RegistrationInside = "registration-colour"
	InkUnused          = "ink-never-painted"
	NameInvalid        = "ink-name-invalid"
	WhiteKnockedOut    = "white-knocked-out"
	WhiteKnocksOut     = "white-knocks-out"
	PaperOverprints    = "white-overprints"
	TransferFunction   = "transfer-function"
	Halftone           = "halftone"
	FontMissing        = "font-not-embedded"
	LowResolution      = "image-low-resolution"
	Alternates         = "image-alternates"
	OPI                = "opi"
	PostScript         = "postscript"
	Reference          = "reference-xobject"
	LZW                = "lzw"
	NoResources        = "form-without-resources"
	Hairline           = "hairline"
	AnnotationPrints   = "annotation-prints"
	AnnotationBare     = "annotation-without-appearance"
	ScanIncomplete     = "scan-incomplete"
	FieldBare          = "field-without-appearance"
	FieldStale         = "field-appearance-stale"
	FieldOnScreen      = "field-not-printed"
	FormXFA            = "xfa-form"
	ObjectLost         = "object-lost"
	ContentLong        = "content-too-long"
	PageTreeMended     = "page-tree-mended"
	ResourceMissing    = "resource-missing"
	ResourcesDiffer    = "form-resources-differ"
	BoxNonsense        = "box-nonsense"
	PageIntent         = "page-output-intent"
	InkTwins           = "ink-spelled-twice-in-one-space"
	InkSpellings       = "ink-spelled-twice"
	OperatorUnknown    = "operator-unknown"
	RenderingUnknown   = "rendering-intent-unknown"

	// Found on the plates.
	BleedEmpty = "bleed-empty"
	NearCut    = "near-cut"
	FineInks   = "fine-in-several-inks"
	InkSparse  = "ink-hardly-used"
	TotalInk   = "total-ink"
)

// OfTheEdge are the codes of what matters only where a page is cut at its trim.
var OfTheEdge = []string{NoTrimBox, NoBleedBox, BleedInsideTrim, BleedShort}

// faults are the codes that keep a page from being placed, each with the way
// out.
var faults = map[string]string{
	AnnotationBare:  flatten,
	FieldBare:       flatten,
	FieldStale:      flatten,
	ObjectLost:      again,
	InkTwins:        "have the ink named in one way in the program that made it",
	ScanIncomplete:  again,
	ContentLong:     "have the artwork made simpler; to take it as it is, say --long-content, or long-content: true in the job file",
	BoxNonsense:     "set the page's boxes in the program that made it, and export it again",
	NoMediaBox:      "set the page's boxes in the program that made it, and export it again",
	ResourcesDiffer: "have the artwork exported anew; current programs give each form its own resources",
	FormXFA:         "open it in the program that made it and print or export it as a plain PDF",
}

const again = "send or export the artwork again: what is lost can't be had from this file"

const flatten = "flatten its fields and annotations in the program that made it, and look at the result"

// notices are the codes that are only good to know; all others are warnings.
var notices = map[string]bool{
	BoxOutside:       true,
	NoBleedBox:       true,
	Encrypted:        true,
	ActionsDropped:   true,
	LayerHidden:      true,
	InkUnused:        true,
	NoResources:      true,
	Alternates:       true,
	AnnotationPrints: true,
	Halftone:         true,
	IntentCMYK:       true,
	DieLineUnclear:   true,
	RenderingUnknown: true,
	InkSparse:        true,
}

// findings collects each finding once.
type findings struct{ list []Finding }

// maxFindings bounds the list; a file with more has said enough.
const maxFindings = 200

func (f *findings) add(code, object, format string, args ...any) {
	level := Warning
	if notices[code] {
		level = Notice
	}
	if faults[code] != "" {
		level = Fault
	}
	one := Finding{Code: code, Level: level, Object: object, Text: fmt.Sprintf(format, args...)}
	if (len(f.list) < maxFindings || level == Fault) && !slices.Contains(f.list, one) {
		f.list = append(f.list, one)
	}
}

// page adds a finding that is about the page as a whole.
func (f *findings) page(code, format string, args ...any) { f.add(code, "", format, args...) }

// Unfit says why the page can't be placed, as an *Error; nil if it can.
func (p *Page) Unfit() error {
	for _, f := range p.Findings {
		if f.Level == Fault {
			return &Error{Path: p.File.Path, Page: p.Number, Err: f.refusal()}
		}
	}
	return nil
}

// refusal is the error that a finding is which stops an imposition.
func (f Finding) refusal() error {
	text := f.Text
	if f.Object != "" {
		text += " (" + f.Object + ")"
	}
	return &say.Refusal{Text: text, Way: faults[f.Code]}
}
