package main

import (
	"context"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/preview"
	"quoin/impose/proof"
)

// pictureFlags ask for pictures of the frame beside its PDF.
type pictureFlags struct {
	proof, layout, alike string
	dpi                  int
}

func (f *pictureFlags) add(fs *pflag.FlagSet) {
	fileVar(fs, &f.proof, "proof", []string{".html", ".png"}, "write a proof with the real artwork: `FILE`.html to zoom and switch layers, or FILE.png")
	fileVar(fs, &f.layout, "picture", []string{".svg", ".png"}, "write the layout with its measures: `FILE`.svg or FILE.png")
	fileVar(fs, &f.alike, "alike-picture", []string{".jpg", ".png"}, "draw where labels that look alike differ, if there are any: `FILE`.jpg or FILE.png")
	f.dpi = 100
	dpiVar(fs, &f.dpi, "picture-dpi", "`dots` per inch of a PNG")
}

// check refuses a resolution that nothing is drawn in.
func (f *pictureFlags) check() error {
	if f.dpi < 10 || f.dpi > 2400 {
		return usagef("--picture-dpi %d can't be drawn", "10 to 2400 are understood", f.dpi)
	}
	return nil
}

// write makes the pictures that were asked for; say is told what takes time.
func (f *pictureFlags) write(ctx context.Context, im *imposed, say func(string)) error {
	return writeAsked([]part{
		{"proof", f.proof, func(w io.Writer) error { return f.drawProof(ctx, w, im, say) }},
		{"picture", f.layout, func(w io.Writer) error { return f.drawLayout(w, im) }},
	}, func(p part) error {
		say("drawing " + p.path)
		return im.writePart(p)
	})
}

func (f *pictureFlags) drawProof(ctx context.Context, w io.Writer, im *imposed, say func(string)) error {
	lean()
	if !isPNG(f.proof) {
		s, err := im.summary()
		if err != nil {
			return err
		}
		return proof.HTML(ctx, w, im.frame, s, say)
	}
	return proof.PNG(ctx, w, im.frame, f.dpi, say)
}

func (f *pictureFlags) drawLayout(w io.Writer, im *imposed) error {
	o := preview.Options{Layout: im.frame.AsSeen, Dimensions: true}
	if isPNG(f.layout) {
		return preview.PNG(w, im.frame.Frame, im.frame.DrawnInks(), o, float64(f.dpi))
	}
	return preview.SVG(w, im.frame.Frame, im.frame.DrawnInks(), o)
}

func isPNG(path string) bool { return strings.EqualFold(filepath.Ext(path), ".png") }
