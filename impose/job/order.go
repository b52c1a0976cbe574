package job

import (
	"time"

	"quoin/geometry"
)

// Order is one line of an order file.
type Order struct {
	ID            string // as written: "004512" keeps its zeros
	Product       string
	Artwork       string // file as written, relative to the order file's folder
	Page          int    // first is 1
	Quantity      int64
	Label         geometry.Size // zero: from the die, the command line or the artwork's TrimBox
	Die           string        // number in the die library; may be empty
	Material      string
	Inks          []string          // none: from the artwork
	Winding       *geometry.Winding // nil when the order doesn't say
	LabelsPerRoll int64             // 0: free
	Splices       *bool             // whether its rolls may be spliced; nil: as the job says
	Overs         *geometry.Share
	Due           time.Time // midnight UTC of the day; zero: none
	Priority      int       // higher goes first; 0 is usual
	DrugLabel     bool      // never ganged with another product
	Alone         bool      // never ganged, by the customer's wish
	NoSplit       bool      // all of it in one run
	Password      string    // opens the artwork; empty: as for all
	PermittedBy   string    // who gave leave to place an artwork whose permissions forbid it; empty: as for all

	source source
}

// ArtworkPath returns where the artwork is, seen from the working folder.
func (o *Order) ArtworkPath() string { return beside(o.source.path, o.Artwork) }

// At returns where the value of a key stands in the order file.
func (o *Order) At(key string) Position { return o.source.at(key) }
