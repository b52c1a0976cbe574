package summary

// Written says what the written file must hold beside its stations and
// targets, so that quoin verify can prove it from the summary and the artworks
// alone. Positions are points of the page, as in stations.
//
// Names of inks in renames and shared spaces are those of the file: bytes that
// are not UTF-8 text stand as #xx and the sign # itself as #23, as PDF writes
// names.
type Written struct {
	Pages      int         `json:"pages"`       // frames in the file
	Proved     bool        `json:"proved"`      // against this summary, before it appeared
	Mirrored   bool        `json:"mirrored"`    // the page's content is mirrored across as a whole
	SizePt     [2]float64  `json:"size_pt"`     // of the media, bleed and trim box of each
	Marker     string      `json:"marker"`      // "PDF/X-4", or "" when something stands in its way
	Breaches   []Breach    `json:"breaches"`    // what stands in its way
	BlendSpace *Source     `json:"blend_space"` // of the page group; null for none
	Intent     *Intent     `json:"output_intent"`
	Layers     []Layer     `json:"layers"`
	Renames    []Rename    `json:"renames"`
	Shared     []Shared    `json:"shared_spaces"`
	Bare       []string    `json:"bare_inks"` // names in the artworks, as those of renames, of inks that no cover stands under
	EyeTrackPt *[4]float64 `json:"eye_track_pt"`
	Drawn      []Drawn     `json:"drawn"`
}

// Breach is something that keeps the file from carrying the PDF/X-4 marker.
type Breach struct {
	Rule    string `json:"rule"` // as in package conform
	Text    string `json:"text"`
	Artwork string `json:"artwork,omitempty"` // as the job names it
	Page    int    `json:"page,omitempty"`
	Object  string `json:"object,omitempty"` // of the artwork
}

// Source names the artwork that something is carried over from.
type Source struct {
	Artwork int `json:"artwork"` // first is 1
}

// Intent is the output intent: an artwork's, or the job's.
type Intent struct {
	Artwork   int    `json:"artwork,omitempty"` // first is 1
	Condition string `json:"condition,omitempty"`
	Profile   string `json:"profile_sha256,omitempty"`
}

// Layer is one layer in the file.
type Layer struct {
	Artwork int    `json:"artwork"` // first is 1; 0 for one that the engine made
	Name    string `json:"name"`
	On      bool   `json:"on"`
}

// Rename is a spot name of the artworks that stands for another in the
// file; None prints nowhere.
type Rename struct {
	From string `json:"from"`
	To   string `json:"to"`
}

// Shared is an ink that has the look of one artwork in all of them.
type Shared struct {
	Ink     string `json:"ink"`
	Artwork int    `json:"artwork"` // first is 1
}

// Drawn is one thing that the engine draws, in painting order.
type Drawn struct {
	Layer     string     `json:"layer"`              // targets, marks, slug, cutting, die-line, white, varnish
	What      string     `json:"what"`               // fill, stroke, text or cover
	BoxPt     [4]float64 `json:"box_pt"`             // over all points of its path, control points included
	LinePt    float64    `json:"line_pt,omitempty"`  // of a stroke, whose box doesn't count it
	Path      *Path      `json:"path,omitempty"`     // of a fill or a stroke
	ChokePt   float64    `json:"choke_pt,omitempty"` // of a cover, which paints where the artwork does within its box
	Inks      []Tint     `json:"inks"`
	Overprint bool       `json:"overprint,omitempty"`
	Eye       bool       `json:"eye,omitempty"`    // an eye mark, which may stand in the track
	Under     bool       `json:"under,omitempty"`  // painted before the artworks
	Matrix    bool       `json:"matrix,omitempty"` // may lie on bleed between labels, never on a trim
}

// Path tells one path from another: how many points it has, control points
// included, and the sum of them all, where the n-th counts 1 + n mod 7 times.
type Path struct {
	Points int        `json:"points"`
	SumPt  [2]float64 `json:"sum_pt"`
}
