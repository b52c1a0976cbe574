package main

import (
	"context"
	"errors"
	"image"
	"image/png"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose"
	"quoin/impose/again"
	"quoin/impose/alike"
	"quoin/impose/job"
	"quoin/impose/raster"
	"quoin/impose/say"
	"quoin/impose/summary"
)

const againExample = "quoin again job.yaml --artwork new.pdf -o out.pdf --difference differs.png"

var againVerb = verb{
	name:    "again",
	args:    "JOB.yaml --artwork NEW.pdf [FLAGS] -o OUT.pdf",
	short:   "print an old job with new artwork, and say what differs",
	example: againExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &imposeFlags{fs: fs, again: &againFlags{}}
		fs.StringArrayVar(&v.again.files, "artwork", nil, "the new `[OLD=]FILE`; of several artworks OLD says which it takes the place of: a lane's number, the old file's name, or the product; may be repeated")
		v.again.addPicture(fs)
		v.add(fs)
		v.queue.add(fs)
		return v.run
	},
}

// againFlags put new artworks into an old job.
type againFlags struct {
	files   []string
	picture string

	old      *impose.Imposition // nil where it can't be opened any more
	unknown  string             // why
	replaced []int              // artworks, by their place in the job
	was      []job.Artwork
}

func (f *againFlags) addPicture(fs *pflag.FlagSet) {
	fileVar(fs, &f.picture, "difference", []string{".png"}, "draw the place where most differs, old and new side by side: a PNG `FILE`")
}

func (f *againFlags) check(args []string) error {
	switch {
	case len(args) != 1 || !isJobFile(args[0]):
		return usagef("one job file is printed again; %s", "as in: "+againExample, say.CountOf(len(args), "file was named", "files were named"))
	case len(f.files) == 0:
		return usagef("the new artwork is missing", "name it with --artwork NEW.pdf; quoin impose prints the job as it is")
	}
	return nil
}

// replace puts the new artworks into the job, and opens the old one as it was: with its
// look-alikes parted, unless the lanes stood as the job has them.
func (f *againFlags) replace(ctx context.Context, j *job.Job, asIs bool) error {
	old := *j
	f.was = slices.Clone(j.Artworks)
	old.Artworks = f.was
	var err error
	if f.old, err = impose.Open(ctx, &old); err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		f.old, f.unknown = nil, reason(err)
	}
	there := true
	for _, text := range f.files { // before anything is drawn
		_, file, err := f.split(text)
		if err != nil {
			return err
		}
		_, err = os.Stat(file)
		there = there && err == nil // who opens it says what is wrong
	}
	if f.old != nil && !asIs && there {
		if err := f.part(ctx, j); err != nil {
			return err
		}
	}
	for _, text := range f.files {
		which, file, err := f.split(text)
		if err != nil {
			return err
		}
		for _, i := range which {
			if slices.Contains(f.replaced, i) {
				return usagef("--artwork %s: another takes the place of %s already", "give each artwork once", text, f.was[i].File)
			}
			j.Artworks[i].File = job.SeenFrom(j.Dir, file)
			f.replaced = append(f.replaced, i)
		}
	}
	slices.Sort(f.replaced)
	return nil
}

// part parts the look-alikes of the old job as quoin impose did, and gives the job that
// is printed again the same lanes.
func (f *againFlags) part(ctx context.Context, j *job.Job) error {
	finder := alike.New()
	defer finder.Close()
	old, found, err := alike.Part(ctx, finder, f.old, false)
	if err != nil {
		return err
	}
	f.old = old
	if found.Parted {
		for i := range j.Artworks {
			j.Artworks[i].LaneList = impose.LanesOf(old.Planned, i)
		}
	}
	return nil
}

// split finds the artworks that a flag speaks of, and the new file: all pages of
// the old file go together.
func (f *againFlags) split(text string) (which []int, file string, err error) {
	name, file, named := strings.Cut(text, "=")
	if _, err := os.Stat(text); err == nil || !named { // a file may have = in its name
		name, file = "", text
	}
	if file == "" {
		return nil, "", usagef("--artwork %s names no file", "as in --artwork new.pdf, or --artwork old.pdf=new.pdf", text)
	}
	var olds []string
	for i, a := range f.was {
		if !slices.Contains(olds, a.File) {
			olds = append(olds, a.File)
		}
		if name == "" || a.File == name || filepath.Base(a.File) == name || a.Product == name {
			which = append(which, i)
		}
	}
	if name == "" && len(olds) > 1 {
		return nil, "", usagef("the job has %s, and --artwork %s doesn't say which it takes the place of", "as in --artwork "+olds[0]+"="+text+", or with the number of a lane", say.Count(len(olds), "artwork"), text)
	}
	if len(which) > 0 {
		return which, file, nil
	}
	lane, err := strconv.Atoi(name)
	if err != nil || f.old == nil || lane < 1 || lane > f.old.Layout.Across {
		return nil, "", usagef("--artwork %s: the job has no artwork, product or lane %q", "the artworks are "+say.List(olds), text, name)
	}
	s, err := f.old.Summary(impose.Written{})
	if err != nil {
		return nil, "", err
	}
	if s.Lanes[lane-1].Artwork == 0 {
		return nil, "", usagef("--artwork %s: lane %d is blank, or carries several artworks", "name the old file: "+say.List(olds), text, lane)
	}
	return []int{s.Lanes[lane-1].Artwork - 1}, file, nil
}

// compare says how the new artworks differ from the old, and draws where.
func (f *againFlags) compare(ctx context.Context, im *imposed, tell func(string)) (notes []string, err error) {
	var pictures []image.Image
	var renderer *raster.Renderer
	for _, i := range f.replaced {
		a := summary.Again{Artwork: i + 1, Was: f.was[i].File, Changes: []summary.Change{}}
		if f.old == nil {
			a.Unknown = f.unknown
			im.again = append(im.again, a)
			continue
		}
		was, now := f.old.Pages[i], im.frame.Pages[i]
		if a.WasSHA256, err = f.old.Sum(was); err != nil {
			return nil, err
		}
		sum, err := im.frame.Sum(now)
		if err != nil {
			return nil, err
		}
		if a.SameFile = sum == a.WasSHA256; !a.SameFile {
			a.Changes = again.Changes(was, now)
			if renderer == nil {
				if renderer, err = raster.New(ctx, tell); err != nil {
					return nil, err
				}
				defer renderer.Close()
			}
			tell("comparing " + now.Name() + " with " + was.Name())
			picture, err := again.Look(ctx, renderer, was, now, &a)
			if err != nil {
				return nil, err
			}
			if picture != nil {
				pictures = append(pictures, picture)
			}
		}
		im.again = append(im.again, a)
	}
	switch {
	case f.picture == "":
		return nil, nil
	case len(pictures) == 0:
		return []string{f.picture + " is not drawn: there are no two labels of one size that differ to the eye"}, nil
	}
	return nil, im.writePart(part{"difference", f.picture, func(w io.Writer) error { return png.Encode(w, again.Stack(pictures)) }})
}

// reason says in a few words why an old job can't be opened any more.
func reason(err error) string {
	if errors.Is(err, fs.ErrNotExist) {
		return "the old artwork is not there any more"
	}
	return "the old job can't be opened: " + err.Error()
}

func (f *againFlags) close() {
	if f != nil && f.old != nil {
		f.old.Close()
	}
}
