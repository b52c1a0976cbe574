package serve

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"net/http"
	"strings"
	"sync"

	"golang.org/x/image/draw"

	"quoin/impose/desk/worker"
)

// pictureRoom draws: artworks, and jobs as cards of the list.
type pictureRoom struct {
	*desk
	cards *cards
}

// pictures keeps drawn pictures by what they show, the newest used up to a number
// of bytes, and knows which job wants one that is not drawn yet.
type pictures struct {
	*kept[[]byte]
	mu     sync.Mutex
	wanted map[string]string // job by picture
}

// mostPictures bounds the bytes that are kept.
const mostPictures = 48 << 20

func newPictures() *pictures {
	return &pictures{kept: newKept(mostPictures, func(png []byte) int { return len(png) }), wanted: map[string]string{}}
}

// want notes that a job shows pictures.
func (p *pictures) want(job string, ids ...string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.wanted) > 10_000 {
		clear(p.wanted)
	}
	for _, id := range ids {
		if id != "" {
			p.wanted[id] = job
		}
	}
}

func (p *pictures) job(id string) string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.wanted[id]
}

// get returns an artwork's picture, which is drawn when it is asked for
// first.
func (s *pictureRoom) get(w http.ResponseWriter, r *http.Request) (*page, error) {
	id := strings.TrimSuffix(r.PathValue("id"), ".png")
	data, err := s.picture(r.Context(), id)
	if err != nil {
		return nil, err
	}
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable") // the name says all that it shows
	w.Write(data)
	return nil, nil
}

// picture returns a picture by its name.
func (s *pictureRoom) picture(ctx context.Context, id string) ([]byte, error) {
	if data, ok := s.pictures.get(id); ok {
		return data, nil
	}
	job := s.pictures.job(id)
	if job == "" {
		return nil, refuse(http.StatusNotFound, notFound, "no open job shows this picture")
	}
	text, err := s.text(job)
	if err != nil {
		return nil, err
	}
	b, done := s.benches.open(job)
	pdf, dpi, white, err := b.PagePDF(ctx, text, id)
	done()
	if err != nil {
		return nil, err
	}
	if pdf == nil {
		return nil, refuse(http.StatusNotFound, notFound, "the job has changed and no longer shows this picture")
	}
	do := "page"
	if white {
		do = "white"
	}
	data, err := s.pool.Draw(ctx, worker.Ask{Do: do, DPI: float64(dpi)}, pdf)
	if err != nil {
		return nil, err
	}
	s.pictures.put(id, data)
	return data, nil
}

// small returns a picture reduced to so many pixels along its longer side.
func (s *pictureRoom) small(ctx context.Context, id string, side int) ([]byte, error) {
	name := id + "-small"
	if data, ok := s.pictures.get(name); ok {
		return data, nil
	}
	data, err := s.picture(ctx, id)
	if err != nil {
		return nil, err
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	b := img.Bounds()
	longest := max(b.Dx(), b.Dy())
	if longest > side {
		out := image.NewNRGBA(image.Rect(0, 0, max(1, b.Dx()*side/longest), max(1, b.Dy()*side/longest)))
		draw.ApproxBiLinear.Scale(out, out.Bounds(), img, b, draw.Src, nil)
		img = out
	}
	var out bytes.Buffer
	if err := png.Encode(&out, img); err != nil {
		return nil, err
	}
	s.pictures.put(name, out.Bytes())
	return out.Bytes(), nil
}
