package vary

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"quoin/impose/draw"
	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// unfinished is what stands behind the name of a file under way. The journal
// lets one run at a time write it.
const unfinished = ".unfinished"

// Output says where a run is written and how it is cut.
type Output struct {
	Path   string // of the press file; parts get a number behind its name
	Frames int64  // in each part; 0: all in one file, however many
	// Identity stands for all that the plan's setup is made from, such as a hash
	// over job and artworks: a run goes on only where that is still the same.
	Identity string
	// Register is the file in which the run and its labels are entered; "" for
	// none, where a reprint is bound to the journal and the ledgers of its run.
	Register string
	Reprint  *Reprint // what is printed again; nil for a first print
	// Again is the number of a lost part that is built once more, alone; 0: none.
	Again int64
	// Elsewhere, when set, begins to make parts elsewhere, and returns what waits
	// for one of them and writes its press file and its ledger: the bytes that
	// WriteFrames would write.
	Elsewhere func(ctx context.Context, parts []Part) (func(ctx context.Context, p Part, file, ledger io.Writer) error, error)
	// Progress is told how many frames there are of all, those of parts written
	// before among them; may be nil.
	Progress func(done, all int64)
}

// Part is one press file of the run, with its ledger.
type Part struct {
	Number int64  `json:"part"` // the first is 1
	File   string `json:"file"`
	Ledger string `json:"ledger"`
	First  int64  `json:"first_frame"` // counted from 1 through the whole run
	Frames int64  `json:"frames"`
	Bytes  int64  `json:"bytes"`
	Sum    string `json:"sha256"`
	Book   string `json:"ledger_sha256"`
	// Before says that an earlier run wrote it; Gone that it is no longer
	// there, as when it has gone to the press.
	Before bool `json:"-"`
	Gone   bool `json:"-"`
}

// UsualFrames is how many frames a part has where nobody says otherwise. Some readers
// walk through all pages before the one that they show: behind 250 others, one of
// text alone takes them half again as long as in a small file (BenchmarkMiddleRatio).
const UsualFrames = 500

// formerFrames was that before; runs that were begun so go on so.
const formerFrames = 1000

// Usual returns how many frames each part has where nobody says: as many as those that
// were begun with the same output, or UsualFrames; 0 where all are in one part.
func (r *Run) Usual(o Output) int64 {
	for _, before := range []int64{0, formerFrames} {
		if o.Frames = before; r.Begun(o) {
			return before
		}
	}
	if r.Order.Frames() > UsualFrames {
		return UsualFrames
	}
	return 0
}

// Begun reports whether this very run was begun with the same output and the same
// frames in each part.
func (r *Run) Begun(o Output) bool {
	identity, err := r.identity(o)
	if err != nil {
		return false
	}
	head, err := readHead(journalPath(o.Path))
	return err == nil && head.Identity == identity
}

// Files returns what a run to the path writes when it is in one part: the press
// file, its ledger and the journal.
func Files(path string) []string {
	return []string{path, ledgerPath(path, ""), journalPath(path)}
}

// parts returns the parts of a run of so many frames as they will be.
func (o *Output) parts(frames int64) []Part {
	each := o.Frames
	if each <= 0 || each >= frames {
		return []Part{{Number: 1, File: o.Path, Ledger: ledgerPath(o.Path, ""), First: 1, Frames: frames}}
	}
	var list []Part
	for first := int64(0); first < frames; first += each {
		n := int64(len(list)) + 1
		mark := fmt.Sprintf("-%04d", n)
		list = append(list, Part{
			Number: n, File: numbered(o.Path, mark), Ledger: ledgerPath(o.Path, mark),
			First: first + 1, Frames: min(each, frames-first),
		})
	}
	return list
}

func numbered(path, mark string) string {
	ext := filepath.Ext(path)
	return strings.TrimSuffix(path, ext) + mark + ext
}

func ledgerPath(path, mark string) string {
	return strings.TrimSuffix(path, filepath.Ext(path)) + mark + ".ledger.csv"
}

// Write writes the run's parts. Each appears whole or not at all and is then
// entered in a journal beside the output. Where the journal is that of this
// very run, the parts in it are not written again: a run that was killed goes
// on, and one that was finished does nothing. The journal of another run is
// refused.
func (r *Run) Write(ctx context.Context, o Output) ([]Part, error) {
	identity, err := r.identity(o)
	if err != nil {
		return nil, err
	}
	made, err := r.made(o)
	if err != nil {
		return nil, err
	}
	if o.Register == "" && o.Reprint != nil {
		if err := bindToJournal(r, o, identity, false); err != nil {
			return nil, err
		}
	}
	j, err := openJournal(o.Path, identity, made)
	if err != nil {
		return nil, err
	}
	defer j.close()
	var book *entered
	ctx, stop := context.WithCancel(ctx)
	defer func() {
		stop()
		book.wait()
	}()
	if o.Register != "" {
		if book, err = enterRun(ctx, r, o, identity, j); err != nil {
			if len(j.begun) == 0 {
				j.drop(o.Path) // nothing was begun, and the name stays free
			}
			return nil, err
		}
	}
	w := &partWriter{run: r, journal: j, book: book, again: o.Again, tell: func(done int64) {
		if o.Progress != nil {
			o.Progress(done, r.Order.Frames())
		}
	}}
	list := o.parts(r.Order.Frames())
	if o.Again < 0 || o.Again > int64(len(list)) {
		return nil, say.Refuse(say.Usage, "quoin vary with the same flags and without --part lists them", "there is no part %d among %d", o.Again, len(list))
	}
	if o.Elsewhere != nil && o.Again == 0 {
		todo := slices.DeleteFunc(slices.Clone(list), func(p Part) bool { _, written := j.parts[p.Number]; return written })
		if w.elsewhere, err = o.Elsewhere(ctx, todo); err != nil {
			return nil, err
		}
	}
	for i := range list {
		if err := w.take(ctx, &list[i]); err != nil {
			return nil, err
		}
	}
	if err := book.wait(); err != nil {
		return nil, err
	}
	return list, nil
}

// made is a hash over everything that labels are made from, whichever of them
// are printed and in how many parts.
func (r *Run) made(o Output) (string, error) {
	whole := *r
	whole.plan.Only = nil
	whole.Order.Records = r.plan.Records.Count
	o.Frames = 0
	return whole.identity(o)
}

// identity is a hash over everything that the bytes depend on.
func (r *Run) identity(o Output) (string, error) {
	text, err := json.Marshal(struct {
		Identity, Records, Items string
		Count                    int64
		Names                    []string
		Fields                   []Field
		Order                    Order
		Layout                   any
		Spare                    Spare
		Void                     string
		Only                     []int64
		Frames                   int64
		Made                     string      `json:",omitempty"`
		Artwork                  string      `json:",omitempty"`
		ChangeOver               *ChangeOver `json:",omitempty"`
	}{
		o.Identity, r.plan.Records.Sum, draw.Notation(r.plan.Items), r.plan.Records.Count, r.plan.Records.Names,
		r.plan.Fields, r.Order, r.plan.Layout, r.plan.Spare, r.plan.Void, r.plan.Only, o.Frames, r.plan.Records.Made, r.plan.Artwork, r.plan.ChangeOver,
	})
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:]), nil
}

// look compares a part that was written before with what the journal says.
func (p *Part) look() error {
	p.Before = true
	for path, want := range map[string]string{p.File: p.Sum, p.Ledger: p.Book} {
		got, err := wholefile.SHA256(path)
		if os.IsNotExist(err) {
			p.Gone = true
			continue
		}
		if err != nil {
			return err
		}
		if got != want {
			return say.Refuse(say.Failed, "take it away if it is not needed any more, or choose another name for the run", "%s has changed since it was written", path)
		}
	}
	return nil
}
