package worker

import (
	"bytes"
	"context"
	"encoding/json"
	"image/png"
	"strings"
	"sync"
	"time"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/alike"
	"quoin/impose/job"
	"quoin/impose/plate"
	"quoin/impose/raster"
)

// Comparer compares the labels of impositions in the drawing process. What it found is
// known again by what the labels hold, so that a change of the layout draws none. It
// is safe for concurrent use.
type Comparer struct {
	Pool *Pool

	mu    sync.Mutex
	known map[string]compared
}

// compared is what comparing labels came to.
type compared struct {
	pairs []alike.Pair
	err   error
	when  time.Time
}

// Bounds of what is kept: jobs, and for how long labels that could not be compared are
// not tried again, as that may take a minute each time.
const (
	mostCompared = 64
	trouble      = 10 * time.Minute
)

// Compare finds the labels that look alike.
func (c *Comparer) Compare(ctx context.Context, im *impose.Imposition) ([]alike.Pair, error) {
	contents, err := alike.Contents(im)
	if err != nil {
		return nil, err
	}
	key := strings.Join(contents, "\n")
	c.mu.Lock()
	was, ok := c.known[key]
	c.mu.Unlock()
	if ok && (was.err == nil || time.Since(was.when) < trouble) {
		return was.pairs, was.err
	}
	found := compared{when: time.Now()}
	if found.pairs, found.err = c.ask(ctx, im); ctx.Err() != nil {
		return nil, ctx.Err()
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.known == nil || len(c.known) >= mostCompared {
		c.known = map[string]compared{}
	}
	c.known[key] = found
	return found.pairs, found.err
}

// twins are two labels that look alike, on their way from the drawing process.
type twins struct {
	A       int          `json:"a"`
	B       int          `json:"b"`
	Percent float64      `json:"percent"`
	Place   geometry.Box `json:"place"`
	PNG     []byte       `json:"png"`
}

// ask has the labels compared. The job goes to a process of this program only, so
// that it may hold passwords.
func (c *Comparer) ask(ctx context.Context, im *impose.Imposition) ([]alike.Pair, error) {
	j := *im.Job
	j.Data, j.Fields = nil, nil // its records change no artwork
	packed, err := j.Pack()
	if err != nil {
		return nil, err
	}
	data, err := c.Pool.Draw(ctx, Ask{Do: "alike"}, packed)
	if err != nil {
		return nil, err
	}
	var list []twins
	if err := json.Unmarshal(data, &list); err != nil {
		return nil, err
	}
	var pairs []alike.Pair
	for _, t := range list {
		picture, err := png.Decode(bytes.NewReader(t.PNG))
		if err != nil {
			return nil, err
		}
		pairs = append(pairs, alike.Pair{A: t.A, B: t.B, Likeness: &plate.Likeness{Percent: t.Percent, Place: t.Place, Picture: picture}})
	}
	return pairs, nil
}

// alike compares the labels of a packed job.
func (d *drawer) alike(packed []byte) ([]byte, error) {
	j, err := job.Unpack(packed)
	if err != nil {
		return nil, err
	}
	im, err := impose.Open(d.ctx, j)
	if err != nil {
		return nil, err
	}
	defer im.Close()
	f := alike.New() // never closed: the renderer is the drawer's
	f.Start = func(context.Context) (*raster.Renderer, error) { return d.renderer, nil }
	pairs, err := f.Compare(d.ctx, im)
	if err != nil {
		return nil, err
	}
	list := []twins{}
	for _, p := range pairs {
		t := twins{A: p.A, B: p.B, Percent: p.Percent, Place: p.Place}
		if t.PNG, err = encode(p.Picture); err != nil {
			return nil, err
		}
		list = append(list, t)
	}
	return json.Marshal(list)
}
