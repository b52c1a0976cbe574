package night

import (
	"errors"
	"strings"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/artwork"
	"quoin/impose/job"
)

// Note says something about one order, for people and, by its code, for
// scripts.
type Note struct {
	Order string `json:"order"`
	Code  string `json:"code"`
	Text  string `json:"text"`
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
	RunFailed  = "run-failed" // its run could not be written
)

// The codes of orders that are taken, with a word.
const (
	DrugLabel = "drug-label" // runs alone
	RunsAlone = "alone"      // runs alone
	NotYet    = "not-yet"    // waits for a later night
	Late      = "late"       // was due before the night
	NoInks    = "inks-unknown"
	TurnOpen  = "turn-open"  // more might share a band if all labels stood alike
	PartRolls = "part-rolls" // lanes end inside a roll
)

// refusal is why an order is left out.
type refusal struct{ code, text string }

// refuse turns an error into a reason with the way out.
func refuse(code string, err error) *refusal {
	text := err.Error()
	var hinted interface{ Hint() string }
	if errors.As(err, &hinted) && hinted.Hint() != "" {
		text += " (" + hinted.Hint() + ")"
	}
	return &refusal{code, text}
}

// codeOf tells what kind of error keeps a run or an artwork from being made.
func codeOf(err error) string {
	var (
		notFit *geometry.NotFitError
		bad    *artwork.Error
		inks   *job.InksError
		lanes  *impose.LaneError
	)
	switch {
	case errors.As(err, &bad):
		return BadArtwork
	case errors.As(err, &notFit), errors.As(err, &lanes):
		return NotFit
	case errors.As(err, &inks):
		return BadInks
	}
	return RunFailed
}

// Faults gives the orders that the order file itself gets wrong, one note for
// each, and tells whether the file could be understood at all.
func Faults(err error) (notes []Note, understood bool) {
	file, ok := errors.AsType[*job.FileError](err)
	if !ok {
		return nil, false
	}
	at := map[string]int{}
	for _, f := range file.Faults {
		text := f.Position.String() + ": " + f.Text
		if f.Hint != "" {
			text += " (" + f.Hint + ")"
		}
		i, known := at[f.Record]
		if !known || f.Record == "" {
			at[f.Record] = len(notes)
			notes = append(notes, Note{f.Record, BadOrder, text})
			continue
		}
		notes[i].Text = strings.Join([]string{notes[i].Text, text}, "; ")
	}
	return notes, true
}
