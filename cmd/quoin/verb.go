package main

import (
	"cmp"
	"context"
	"embed"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/say"
)

// verb is one thing that quoin does.
type verb struct {
	name    string
	args    string // what stands behind the verb, for the usage line
	short   string // one line for the list of verbs
	example string // a command line that works
	// setUp adds the verb's flags and gives what to do once they are parsed.
	setUp func(*pflag.FlagSet) func(context.Context, streams, []string) error
}

// verbs lists them in the order of the help.
func verbs() []verb {
	return []verb{fitVerb, gangVerb, imposeVerb, againVerb, varyVerb, reprintVerb, registerVerb, inspectVerb, verifyVerb, colourVerb, deskVerb, queueVerb, workVerb, watchVerb, tasksVerb, completionVerb(), manVerb()}
}

// findVerb returns the verb of a name, or an error with the nearest one.
func findVerb(name string) (*verb, error) {
	for _, v := range verbs() {
		if v.name == name {
			return &v, nil
		}
	}
	return nil, usagef("%q is no verb of quoin", say.DidYouMean(name, verbNames(), "quoin help lists the verbs"), name)
}

// flags returns the verb's flag set and its action.
func (v *verb) flags() (*pflag.FlagSet, func(context.Context, streams, []string) error) {
	fs := pflag.NewFlagSet(v.name, pflag.ContinueOnError)
	fs.SortFlags = false
	fs.SetOutput(io.Discard)
	fs.Usage = func() {}
	act := v.setUp(fs)
	fs.BoolP("quiet", "q", false, "say nothing but errors and what was asked for")
	fs.BoolP("verbose", "v", false, "say every step, and what is good to know")
	return fs, act
}

// run parses the verb's flags and acts.
func (v *verb) run(ctx context.Context, io streams, args []string) error {
	fs, act := v.flags()
	switch err := fs.Parse(args); {
	case errors.Is(err, pflag.ErrHelp):
		return v.help(io.out)
	case err != nil:
		return flagError(fs, err)
	}
	io.quiet, _ = fs.GetBool("quiet")
	io.verbose, _ = fs.GetBool("verbose")
	if err := v.contradiction(fs); err != nil {
		return err
	}
	return act(ctx, io, fs.Args())
}

// flagError turns pflag's error into one with a way out.
func flagError(fs *pflag.FlagSet, err error) error {
	var unknown *pflag.NotExistError
	if errors.As(err, &unknown) {
		var names []string
		fs.VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		way := fmt.Sprintf("quoin %s --help lists the flags", fs.Name())
		if near := say.Nearest(unknown.GetSpecifiedName(), names); near != "" {
			way = fmt.Sprintf("did you mean --%s?", near)
		}
		return usagef("%v", way, err)
	}
	way := cmp.Or(say.Hint(err), fmt.Sprintf("quoin %s --help lists the flags", fs.Name()))
	return usagef("%v", way, err)
}

//go:embed pages
var pages embed.FS

// page returns what there is to know about the verb beside its flags; "" where
// they say it all.
func (v *verb) page() string {
	text, err := pages.ReadFile("pages/" + v.name + ".txt")
	if err != nil {
		return ""
	}
	return "\n" + string(text)
}

// help prints the verb's flags and its page.
func (v *verb) help(w io.Writer) error {
	fs, _ := v.flags()
	_, err := fmt.Fprintf(w, "%s\n\nusage: quoin %s %s\n\n%s\nexample:\n  %s\n%s",
		v.short, v.name, v.args, fs.FlagUsagesWrapped(100), v.example, v.page())
	return err
}

// help prints the list of verbs, or one verb's screen.
func help(w io.Writer, args []string) error {
	if len(args) > 0 {
		v, err := findVerb(args[0])
		if err != nil {
			return err
		}
		return v.help(w)
	}
	var b strings.Builder
	b.WriteString("quoin imposes label artwork for a roll-to-roll digital press.\n\nusage: quoin VERB [FLAGS] [FILES]\n\n")
	for _, v := range verbs() {
		fmt.Fprintf(&b, "  %-10s %s\n", v.name, v.short)
	}
	b.WriteString(`
Lengths need a unit (mm, cm, in, pt, um); a size is across x around, as 50x75mm.
Results go to standard output, messages to standard error.
Exit codes:
`)
	for _, e := range exitCodes {
		fmt.Fprintf(&b, "  %-4d %s\n", e.code, e.means)
	}
	b.WriteString(`
quoin help VERB says more.

example:
  `)
	b.WriteString(imposeExample + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}
