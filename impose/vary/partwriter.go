package vary

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"io"
	"os"
	"path/filepath"

	"quoin/impose/register"
	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// madeElsewhere writes a part that was made elsewhere; see Output.
type madeElsewhere = func(ctx context.Context, p Part, file, ledger io.Writer) error

// partWriter writes the parts of a run, one after the other.
type partWriter struct {
	run       *Run
	journal   *journal
	book      *entered      // nil without a register
	elsewhere madeElsewhere // nil where parts are made here
	again     int64         // the part that is built once more, alone; 0: none
	tell      func(done int64)
}

// take writes a part, or finds that it was written before.
func (w *partWriter) take(ctx context.Context, p *Part) error {
	before, written := w.journal.parts[p.Number]
	switch {
	case !written && p.Number == w.again:
		return say.Refuse(say.Failed, "leave --part out: the run goes on with it", "part %d was never written", w.again)
	case !written && w.again > 0:
		return nil
	case written:
		*p = before
		if err := p.look(); err != nil {
			return err
		}
	default:
		if err := w.write(ctx, p); err != nil {
			return err
		}
	}
	if err := w.book.print(*p); err != nil { // a kill may have come in between
		return err
	}
	if written && p.Number == w.again {
		if err := w.buildAgain(ctx, p); err != nil {
			return err
		}
	}
	w.tell(p.First - 1 + p.Frames)
	return nil
}

// write writes press file and ledger beside their targets, lets them appear
// when both are whole, and enters that in the journal.
func (w *partWriter) write(ctx context.Context, p *Part) error {
	for _, path := range []string{p.File, p.Ledger} {
		if _, err := os.Lstat(path); err == nil && !w.journal.begun[p.Number] {
			return say.Refuse(say.Failed, "take it away, or choose another name for the run: nothing is overwritten", "%s", path+" is there already, and the journal knows nothing of it")
		}
	}
	if err := w.journal.begin(p.Number); err != nil {
		return err
	}
	file, err := wholefile.Create(p.File, wholefile.Options{Working: filepath.Base(p.File) + unfinished})
	if err != nil {
		return err
	}
	defer file.Discard()
	book, err := wholefile.Create(p.Ledger, wholefile.Options{Working: filepath.Base(p.Ledger) + unfinished})
	if err != nil {
		return err
	}
	defer book.Discard()
	if w.elsewhere != nil {
		err = w.elsewhere(ctx, *p, file, book)
	} else {
		err = w.run.WriteFrames(ctx, file, book, p.First-1, p.First-1+p.Frames, func(frame int64) { w.tell(frame + 1) })
	}
	if err == nil {
		err = w.book.wait() // no label appears before the register has it
	}
	if err != nil {
		return err
	}
	of, err := file.Commit()
	if err != nil {
		return err
	}
	p.Sum, p.Bytes = of.SHA256, of.Bytes
	if of, err = book.Commit(); err != nil {
		return err
	}
	p.Book = of.SHA256
	return w.journal.enter(*p)
}

// buildAgain writes a part that was lost once more, and lets it appear where it
// comes out as the journal says.
func (w *partWriter) buildAgain(ctx context.Context, p *Part) error {
	if !p.Gone {
		return say.Refuse(say.Failed, "take it away first if it is to be built again", "part %d is there: %s", p.Number, p.File)
	}
	var files []*wholefile.File
	var sums []hash.Hash
	var to []io.Writer
	for _, path := range []string{p.File, p.Ledger} {
		f, err := wholefile.Create(path, wholefile.Options{Working: filepath.Base(path) + unfinished})
		if err != nil {
			return err
		}
		defer f.Discard()
		sum := sha256.New()
		files, sums, to = append(files, f), append(sums, sum), append(to, io.MultiWriter(f, sum))
	}
	if err := w.run.WriteFrames(ctx, to[0], to[1], p.First-1, p.First-1+p.Frames, nil); err != nil {
		return err
	}
	if hex.EncodeToString(sums[0].Sum(nil)) != p.Sum || hex.EncodeToString(sums[1].Sum(nil)) != p.Book {
		return say.Refuse(say.Failed, "build it with the version of quoin that wrote the run", "part %d would come out other than it was", p.Number)
	}
	for _, f := range files {
		if _, err := f.Commit(); err != nil {
			return err
		}
	}
	p.Gone, p.Before = false, false
	if w.book == nil {
		return nil
	}
	return w.book.behind(func(reg *register.Register) error { return reg.BuiltAgain(w.book.run.ID, p.Number) })
}
