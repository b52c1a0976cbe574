package main

import (
	"context"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/preview"
	"quoin/impose/proof"
	"quoin/impose/say"
)

// pictureFlags ask for pictures of the frame beside its PDF.
type pictureFlags struct {
	proof, layout, alike string
	dpi                  int
}

func (f *pictureFlags) add(fs *pflag.FlagSet) {
	fs.StringVar(&f.proof, "proof", "", "write a proof with the real artwork: `FILE`.html to zoom and switch layers, or FILE.png")
	fs.StringVar(&f.layout, "picture", "", "write the layout with its measures: `FILE`.svg or FILE.png")
	fs.StringVar(&f.alike, "alike-picture", "", "draw where labels that look alike differ, if there are any: `FILE`.jpg or FILE.png")
	f.dpi = 100
	dpiVar(fs, &f.dpi, "picture-dpi", "`dots` per inch of a PNG")
}

// check refuses names whose ending doesn't say what to write.
func (f *pictureFlags) check() error {
	if err := endsIn("proof", f.proof, ".html", ".png"); err != nil {
		return err
	}
	if err := endsIn("picture", f.layout, ".svg", ".png"); err != nil {
		return err
	}
	if err := endsIn("alike-picture", f.alike, ".jpg", ".png"); err != nil {
		return err
	}
	if f.dpi < 10 || f.dpi > 2400 {
		return usagef("--picture-dpi %d can't be drawn", "10 to 2400 are understood", f.dpi)
	}
	return nil
}

// endsIn refuses a file that a flag names and that has none of the endings.
func endsIn(flag, path string, endings ...string) error {
	if path == "" || slices.Contains(endings, strings.ToLower(filepath.Ext(path))) {
		return nil
	}
	return usagef("--%s %s doesn't say what to write", "end the name in "+say.Either(endings), flag, path)
}

// write makes the pictures that were asked for; say is told what takes time.
func (f *pictureFlags) write(ctx context.Context, im *imposed, say func(string)) error {
	for _, p := range []struct {
		role, path string
		draw       func(io.Writer) error
	}{
		{"proof", f.proof, func(w io.Writer) error { return f.drawProof(ctx, w, im, say) }},
		{"picture", f.layout, func(w io.Writer) error { return f.drawLayout(w, im) }},
	} {
		if p.path == "" {
			continue
		}
		say("drawing " + p.path)
		if err := writePart(im, p.role, p.path, p.draw); err != nil {
			return err
		}
	}
	return nil
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
