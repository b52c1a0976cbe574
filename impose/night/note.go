package night

import (
	"fmt"
	"path/filepath"

	"quoin/impose"
	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/say"
)

// Note is one about an order, or about none in particular.
type Note struct {
	Order string `json:"order"`
	say.Note
}

// NoteOn returns a note with a text made like fmt.Sprintf makes it.
func NoteOn(order, code, format string, args ...any) Note {
	return Note{order, say.Note{Code: code, Text: fmt.Sprintf(format, args...)}}
}

// Refuse returns why orders are left out, before they are known: see Of.
func Refuse(code, format string, args ...any) *Note { return new(NoteOn("", code, format, args...)) }

// RefuseFor is Refuse with an error and its way out.
func RefuseFor(code string, err error) *Note { return Refuse(code, "%s", say.WithHint(err)) }

// Of returns the note as one about an order: what keeps one out may keep others
// out too.
func (n *Note) Of(order string) Note { return Note{order, n.Note} }

// Warns reports whether a note of an order that is taken is something to look at
// before the run.
func (n Note) Warns() bool {
	return n.Code == NoOrders || n.Code == LongWeb || n.Code == NoArtwork || n.Code == LaterFault || n.Code == PinOpen
}

// Rank says how serious a note or a warning of this code is: 0 is the most serious. What
// an imposition says has the same rank in a night.
func Rank(code string) int {
	switch code {
	case NoOrders:
		return 0
	case NoArtwork, LaterFault, PinOpen:
		return 1
	case LongWeb:
		code = "overs"
	}
	return impose.Rank(code)
}

// The codes of orders that are left out.
const (
	BadOrder   = "order-file" // its line in the order file is wrong
	NoSize     = "no-size"    // nothing says its label's size
	NoDie      = "no-die"     // no die of the library suits
	BadArtwork = "artwork"    // the artwork can't be used
	NotFit     = "not-fit"    // the label fits no frame
	BadWinding = "winding"    // the turn that its winding needs is not known
	BadInks    = "inks"       // the press can't print so many
	TooShort   = "too-short"  // its overs don't reach the least run
	TooLarge   = "too-large"  // beyond any run
	NoPlan     = "no-plan"    // the rules leave no run for it
	NoWeb      = "no-web"     // what is in stock is not enough
	RunFailed  = "run-failed" // its run could not be written
)

// The codes of orders that are taken, with a word.
const (
	DrugLabel  = "drug-label" // runs alone
	RunsAlone  = "alone"      // runs alone
	NotYet     = "not-yet"    // waits for a later night
	Late       = "late"       // was due before the night
	NoInks     = "inks-unknown"
	TurnOpen   = "turn-open"       // more might share a band if all labels stood alike
	NoOrders   = "no-orders"       // the file lists none
	LongWeb    = "long-web"        // takes more web than anybody orders
	LastFrame  = "last-frame"      // is made beyond its limit, as frames are printed whole
	PartRolls  = "part-rolls"      // lanes end inside a roll
	NoPrice    = "no-price"        // something that the night takes is counted as nothing
	NoArtwork  = "no-artwork"      // is planned, but can't be built
	LaterFault = "later-fault"     // waits for a later night, and can't be taken then
	NewTools   = "new-tools"       // labels for which no new tool was looked for
	NotTried   = "not-tried"       // too much of it to be tried in every way
	OrderFile  = "order-file-word" // the order file holds something odd that costs no order
	HeldBack   = "held-back"       // as the planner wishes
	Printed    = "printed"         // in runs of an earlier plan
	TakenOut   = "taken-out"       // as the planner wishes
	PinOpen    = "pin-open"        // is printed without one that it was to be together with
)

// RunRefusal returns a note of what kept a run of the orders from being made.
func RunRefusal(err error, orders ...*job.Order) *Note {
	code := RunFailed
	switch say.KindOf(err) {
	case say.Artwork:
		code = BadArtwork
	case say.NotFit:
		code = NotFit
	case say.Inks:
		code = BadInks
	}
	return RefuseFor(code, AsOrdered(err, orders...))
}

// AsOrdered returns an error about the artwork of one of the orders as one that
// names the file as the order file does; any other error as it is.
func AsOrdered(err error, orders ...*job.Order) error {
	for _, o := range orders {
		err = artwork.CalledBy(err, o.ArtworkPath(), o.Artwork)
	}
	return err
}

// Faults returns one note for each order that the order file itself gets wrong,
// and one for each of its lines whose order can't be told.
func Faults(faults []job.Fault) []Note {
	type about struct {
		order string
		line  int // 0 where the order is known
	}
	var notes []Note
	at := map[about]int{}
	for _, f := range faults {
		key := about{order: f.Record}
		if f.Record == "" {
			key.line = f.Line
		}
		if i, known := at[key]; known {
			notes[i].Text += "; " + said(f)
			continue
		}
		at[key] = len(notes)
		notes = append(notes, NoteOn(f.Record, BadOrder, "%s", said(f)))
	}
	return notes
}

// Words returns a note for each thing that people should know of the order file.
func Words(words []job.Fault) []Note {
	var notes []Note
	for _, w := range words {
		notes = append(notes, NoteOn(w.Record, OrderFile, "%s", said(w)))
	}
	return notes
}

// said names the place in the file by the file's name alone, whatever folder
// the night was started from.
func said(f job.Fault) string {
	p := f.Position
	p.Path = filepath.Base(p.Path)
	text := p.String() + ": " + f.Text()
	if f.Hint != "" {
		text += " (" + f.Hint + ")"
	}
	return text
}
