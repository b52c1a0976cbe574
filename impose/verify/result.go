package verify

import (
	"fmt"
	"io"

	"quoin/impose/say"
)

// Schema names the result's form; scripts check it. Keys may be added, never
// renamed or given another meaning.
const Schema = "quoin/verify/1"

// Result is what a verification found: one struct for the text and the JSON.
type Result struct {
	Schema      string       `json:"schema"`
	File        string       `json:"file"`
	Same        bool         `json:"same"` // nothing differs
	Pages       int          `json:"pages"`
	Stations    int          `json:"stations"` // on all pages
	Artworks    int          `json:"artworks"`
	Streams     int          `json:"streams"` // compared with their sources, byte by byte
	Bytes       int64        `json:"bytes"`   // in those streams
	Drawn       int          `json:"drawn"`   // marks, targets and the like, on all pages
	Differences []Difference `json:"differences"`
	Notes       []string     `json:"notes"` // what was not looked at, and why
}

// Difference is something in the file that is not as the summary says.
type Difference struct {
	say.Note
	Object string `json:"object,omitempty"` // where: "object 12", "page 1"
}

// The codes of differences. They never change their meaning.
const (
	Damaged        = "damaged"         // what a reader must mend
	FileChanged    = "file-changed"    // its bytes are not those that were written
	ArtworkChanged = "artwork-changed" // nor are an artwork's
	PageCount      = "page-count"
	PageBox        = "page-box"
	PageExtra      = "page-extra" // an annotation, an action or the like
	BlendSpace     = "blend-space"
	IntentDiffers  = "output-intent"
	MarkerDiffers  = "marker"

	StationMissing = "station-missing"
	StationExtra   = "station-extra"
	StationMoved   = "station-moved"
	StationTurned  = "station-turned"
	StationScaled  = "station-scaled"
	StationClip    = "station-clip" // bleed missing, or too much of it
	StationState   = "station-state"
	WrongArtwork   = "wrong-artwork"
	LabelsOverlap  = "labels-overlap"
	LabelsNear     = "labels-near" // nearer than the gap
	LabelShape     = "label-shape" // the outline is not that of the stations

	FormBox      = "form-box"
	GroupDiffers = "group"
	Content      = "content"
	StreamBytes  = "stream-bytes"
	ObjectValue  = "object-value"
	ObjectLost   = "object-lost"
	ObjectAdded  = "object-added"
	InkName      = "ink-name"
	InkSpace     = "ink-colour-space"
	InkUnknown   = "ink-unknown"
	Annotations  = "annotations"

	LayerLost    = "layer-lost"
	LayerState   = "layer-state"
	LayerExtra   = "layer-extra"
	LayerOrder   = "layer-order" // in no list of layers that people see
	DrawnMissing = "drawn-missing"
	DrawnExtra   = "drawn-extra"
	DrawnMoved   = "drawn-moved"
	DrawnInk     = "drawn-ink"
	DrawnOrder   = "drawn-order"
	DrawnShape   = "drawn-shape"
	DrawnState   = "drawn-state" // faded, blended, dashed
	CoverShape   = "cover-shape" // a white that doesn't follow its artwork as planned
	OverLabel    = "over-label"
	OverTrack    = "over-track"
	TargetPaint  = "target"
	Unreadable   = "content-unreadable"
	Readers      = "readers-disagree"
)

// maxDifferences bounds the list: a file with more has said enough.
const maxDifferences = 500

func (r *Result) differs(code, object, format string, args ...any) {
	d := Difference{say.Note{Code: code, Text: fmt.Sprintf(format, args...)}, object}
	if len(r.Differences) >= maxDifferences {
		return
	}
	for _, known := range r.Differences {
		if known == d {
			return
		}
	}
	r.Differences = append(r.Differences, d)
}

func (r *Result) note(format string, args ...any) {
	r.Notes = append(r.Notes, fmt.Sprintf(format, args...))
}

// Text prints the result for a person.
func (r *Result) Text(w io.Writer) error {
	verdict := "as planned"
	if n := len(r.Differences); n > 0 {
		verdict = say.Count(n, "difference")
	}
	_, err := fmt.Fprintf(w, "%s: %s; %s, %s, %s, %s drawn; %s of %s equal their sources\n",
		r.File, verdict, say.Count(r.Pages, "frame"), say.Count(r.Stations, "station"), say.Count(r.Artworks, "artwork"),
		say.Count(r.Drawn, "thing"), say.Count(r.Streams, "stream"), say.Count(r.Bytes, "byte"))
	for _, d := range r.Differences {
		if err == nil && d.Object != "" {
			_, err = fmt.Fprintf(w, "differs: %s: %s (%s)\n", d.Code, d.Text, d.Object)
		} else if err == nil {
			_, err = fmt.Fprintf(w, "differs: %s: %s\n", d.Code, d.Text)
		}
	}
	for _, n := range r.Notes {
		if err == nil {
			_, err = fmt.Fprintf(w, "note: %s\n", n)
		}
	}
	return err
}
