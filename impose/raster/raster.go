// Package raster shows PDF pages as pictures for people, with PDFium compiled
// to WebAssembly: no cgo, nothing to install. Spot inks show as their
// alternates and overprint is not simulated, so a picture proves places and
// artworks, never plates.
package raster

import (
	"context"
	"errors"
	"image"
	"image/draw"
	"io"
	"os"
	"path/filepath"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/webassembly"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"

	"quoin/impose/say"
	"quoin/impose/thrift"
)

// Error is trouble of the renderer. Once it has started, the page may be at fault as
// well as this machine.
type Error struct {
	At  string // what it was doing
	Err error
}

// starting is what a renderer does first.
const starting = "starting the picture renderer"

// Started reports whether there was a renderer.
func (e *Error) Started() bool { return e.At != starting }

// Error says what the renderer was doing.
func (e *Error) Error() string { return e.At + ": " + e.Err.Error() }

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// Renderer draws pages. It is not safe for concurrent use.
type Renderer struct {
	pool     pdfium.Pool
	instance pdfium.Pdfium
	cache    wazero.CompilationCache
	memory   memory // of the instance
	opened   int    // documents
}

// New starts a renderer. The first start on a machine compiles PDFium, which
// takes some seconds and is kept in the user's cache folder; say is told so.
// Where there is no cache folder, each start compiles anew.
func New(ctx context.Context, say func(string)) (*Renderer, error) {
	r := &Renderer{}
	cache, first := compiled()
	if first {
		say("preparing the picture renderer; this is done once on a machine")
	}
	r.cache = cache
	if outside != nil {
		ctx = experimental.WithMemoryAllocator(ctx, r.memory.counted(outside))
	}
	pool, err := webassembly.Init(webassembly.Config{
		Context: ctx, MinIdle: 1, MaxIdle: 1, MaxTotal: 1,
		FSConfig: wazero.NewFSConfig(), // it sees no file of ours
		Stdout:   io.Discard, Stderr: io.Discard,
		RuntimeConfig: wazero.NewRuntimeConfig().WithCompilationCache(cache).
			WithCoreFeatures(api.CoreFeaturesV2 | experimental.CoreFeaturesExceptionHandling),
	})
	if err != nil {
		r.Close()
		return nil, &Error{starting, err}
	}
	r.pool = pool
	if r.instance, err = pool.GetInstance(0); err != nil {
		r.Close()
		return nil, &Error{starting, err}
	}
	thrift.Release() // reading what was compiled, and the page before, leave much behind
	return r, nil
}

// compiled returns the cache of the compiled module, and whether it is empty.
func compiled() (cache wazero.CompilationCache, first bool) {
	if base, err := os.UserCacheDir(); err == nil {
		dir := filepath.Join(base, "quoin", "renderer")
		entries, err := os.ReadDir(dir)
		first = err != nil || len(entries) == 0
		if c, err := wazero.NewCompilationCacheWithDir(dir); err == nil {
			return c, first
		}
	}
	return wazero.NewCompilationCache(), true
}

// Close ends the renderer.
func (r *Renderer) Close() error {
	var err error
	if r.instance != nil {
		err = errors.Join(err, r.instance.Close())
	}
	if r.pool != nil {
		err = errors.Join(err, r.pool.Close())
	}
	if r.cache != nil {
		err = errors.Join(err, r.cache.Close(context.Background()))
	}
	return err
}

// mostPixels bounds a picture: 400 megabytes of memory.
const mostPixels = 100_000_000

// Page draws the first page of a PDF at so many pixels an inch.
func (r *Renderer) Page(pdf []byte, dpi int) (img image.Image, err error) {
	err = r.Pages(pdf, dpi, []int{0}, func(_ int, page image.Image) error {
		img = page
		return nil
	})
	return img, err
}

// Pages draws some pages of a PDF, the first of which is 0, one after another.
func (r *Renderer) Pages(pdf []byte, dpi int, wanted []int, see func(page int, img image.Image) error) error {
	if err := r.begin(); err != nil {
		return &Error{"drawing a picture", err}
	}
	defer r.end()
	doc, err := r.instance.OpenDocument(&requests.OpenDocument{File: &pdf})
	if err != nil {
		return &Error{"drawing a picture", err}
	}
	defer r.instance.FPDF_CloseDocument(&requests.FPDF_CloseDocument{Document: doc.Document})
	for _, n := range wanted {
		img, err := r.page(requests.Page{ByIndex: &requests.PageByIndex{Document: doc.Document, Index: n}}, dpi)
		if err == nil {
			err = see(n, img)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// Draft draws page 1 of a draft, which it closes.
func (r *Renderer) Draft(ctx context.Context, pdf *Draft, dpi int) (image.Image, error) {
	s, err := r.Open(ctx, pdf)
	if err != nil {
		return nil, err
	}
	defer s.Close()
	if s.cut != nil {
		return s.picture(dpi)
	}
	return r.page(requests.Page{ByReference: &s.page}, dpi)
}

func (r *Renderer) page(page requests.Page, dpi int) (image.Image, error) {
	if _, err := r.sizeOf(page, dpi); err != nil {
		return nil, err
	}
	out, err := r.instance.RenderPageInDPI(&requests.RenderPageInDPI{Page: page, DPI: dpi})
	if err != nil {
		return nil, &Error{"drawing a picture", err}
	}
	defer out.Cleanup()
	// The pixels belong to the renderer's memory: take them along.
	img := image.NewNRGBA(out.Result.RenderedImage.Bounds())
	draw.Draw(img, img.Bounds(), image.White, image.Point{}, draw.Src)
	draw.Draw(img, img.Bounds(), out.Result.RenderedImage, out.Result.RenderedImage.Bounds().Min, draw.Over)
	return img, nil
}

// sizeOf returns a page's size in pixels; it fails for a picture that is too large.
func (r *Renderer) sizeOf(page requests.Page, dpi int) (image.Point, error) {
	size, err := r.instance.GetPageSizeInPixels(&requests.GetPageSizeInPixels{Page: page, DPI: dpi})
	if err != nil {
		return image.Point{}, &Error{"drawing a picture", err}
	}
	return image.Pt(size.Width, size.Height), tooLarge(size.Width, size.Height, dpi)
}

// tooLarge refuses a picture of more pixels than the renderer draws.
func tooLarge(width, height, dpi int) error {
	if width*height <= mostPixels {
		return nil
	}
	return say.Refuse(say.Failed, "ask for fewer dots per inch", "a picture of %d x %d pixels at %d dpi is too large", width, height, dpi)
}
