// Package conform holds the list of what a press-ready file must be, after
// PDF/X-4 (ISO 15930-7:2010), and checks documents and artwork pages against
// it.
//
// The rules are from memory of the standard, except what is said beside them,
// and public checkers number its clauses differently: so rules go by names of
// our own, and a file that passes is "checked against our list", never
// certified.
package conform

// Rule is one entry of the list.
type Rule struct {
	Name string `json:"name"` // stable, for scripts
	Asks string `json:"asks"`
}

// The names of the rules.
const (
	Marker       = "version-marker"
	Metadata     = "metadata-complete"
	Trapped      = "trapped-known"
	Identity     = "identity-and-no-encryption"
	Features     = "features-of-pdf-1.6"
	Intent       = "one-output-intent"
	Boxes        = "page-boxes"
	Fonts        = "fonts-embedded"
	DeviceColour = "device-colours-defined"
	Profiles     = "profiles-and-overprint"
	Spots        = "one-spot-one-look"
	Groups       = "group-spaces-defined"
	Device       = "nothing-for-one-device"
	Interaction  = "no-annotations-or-actions"
	Layers       = "layers-listed-and-still"
	Views        = "view-boxes"
	Size         = "page-size"
	Readable     = "content-readable"
)

// Rules is the list.
var Rules = []Rule{
	// The namespace is in public XMP tables.
	{Marker, "the metadata says PDF/X-4"},
	{Metadata, "title, dates, document ID, version, rendition and trapping stand in the metadata, and the document information agrees"},
	{Trapped, "trapping is True or False, never Unknown"},
	{Identity, "the file has an ID and is not encrypted"},
	{Features, "nothing newer than PDF 1.6, and no LZW compression"},
	{Intent, "exactly one output intent for PDF/X, with its condition's identifier and the profile of an output device"}, // the key: ISO 32000-1 14.11.5
	{Boxes, "each page has a MediaBox, and a TrimBox or an ArtBox but not both; trim lies in bleed and bleed in media"},
	{Fonts, "every font is embedded, except for text that doesn't show"},
	{DeviceColour, "DeviceCMYK, DeviceRGB and DeviceGray only where the output intent or a default space defines them"},
	{Profiles, "profiles can be used, none is the output intent's own CMYK, and CMYK of a profile doesn't overprint in mode 1"},
	{Spots, "one spot name has one alternate and one tint transform, and names are UTF-8"},
	{Groups, "a group blends in a space that the output intent or a default space defines"},
	{Device, "no transfer function, named halftone, PostScript, reference XObject, OPI or alternate image"},
	{Interaction, "no annotation within the bleed, no script, no action"},
	// The wording on names and automatic states is verified for PDF/A-2 and PDF/UA.
	{Layers, "every layer stands in the list that people see, each set of states has a name, and none changes by itself"},
	{Views, "viewing and printing are tied to no box but media and bleed"},
	{Size, "each side of a page is 3 to 14,400 units long"}, // ISO 32000-1 Annex C
	{Readable, "all content could be looked through"},       // ours: else the others say nothing
}

// Breach is something that goes against a rule.
type Breach struct {
	Rule   string `json:"rule"`
	Text   string `json:"text"`
	Page   int    `json:"page,omitempty"` // first is 1; 0 for the whole document
	Object string `json:"object,omitempty"`
}
