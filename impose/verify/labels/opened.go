package labels

import (
	"context"
	"os"

	"quoin/impose/raster"
	"quoin/impose/register"
	"quoin/impose/thrift"
	"quoin/impose/verify/glimpse"
)

// eyes are what pages are looked at with.
type eyes struct {
	say      func(string)
	glances  bool             // first by what touches a symbol alone
	renderer *raster.Renderer // nil until it is needed: it takes 35 MB
}

func (e *eyes) full(ctx context.Context) (*raster.Renderer, error) {
	if e.renderer == nil {
		thrift.Release()
		var err error
		if e.renderer, err = raster.New(ctx, e.say); err != nil {
			return nil, err
		}
		thrift.Release()
	}
	return e.renderer, nil
}

func (e *eyes) close() {
	if e.renderer != nil {
		e.renderer.Close()
	}
}

// opened is a press file that is looked at.
type opened struct {
	look *eyes
	file *os.File
	size int64
	some *glimpse.Book // nil where the renderer draws all
	all  *raster.Book  // nil until it is needed
}

func (o *opened) close() {
	if o.all != nil {
		o.all.Close()
		o.all = nil
	}
	if o.file != nil {
		o.file.Close()
		o.file = nil
	}
}

// full opens the file for the renderer.
func (o *opened) full(ctx context.Context) (*raster.Book, error) {
	if o.all != nil {
		return o.all, nil
	}
	renderer, err := o.look.full(ctx)
	if err != nil {
		return nil, err
	}
	o.all, err = renderer.OpenBook(o.file, o.size)
	return o.all, err
}

// open opens a part's press file to be looked at, and holds it against its sum; nil
// where there is nothing to be seen.
func (r *run) open(ctx context.Context, look *eyes, p register.Part, out *Report) (*opened, error) {
	name := r.path(p.File)
	switch got, err := sum(r.lies(name)); {
	case err != nil:
		return nil, err
	case got == "":
		out.Gone++
		return nil, nil
	case got != p.Sum:
		out.differs(PartChanged, "%s has changed since it was written", name)
	}
	if !r.symbols() {
		return nil, nil
	}
	file, err := os.Open(r.lies(name))
	if err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err != nil {
		file.Close()
		return nil, err
	}
	o := &opened{look: look, file: file, size: info.Size()}
	if look.glances {
		// What it can't read is for the renderer, which says what is wrong.
		o.some, _ = glimpse.Open(ctx, file, o.size)
	}
	return o, nil
}
