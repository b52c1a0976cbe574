package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/say"
)

// manVerb is made anew each time, since its page holds all verbs.
func manVerb() verb {
	return verb{
		name:    "man",
		args:    "",
		short:   "print the manual page, for man -l",
		example: "quoin man | man -l -",
		setUp: func(*pflag.FlagSet) func(context.Context, streams, []string) error {
			return func(_ context.Context, io streams, args []string) error {
				if len(args) > 0 {
					return usagef("the manual is one page; %s was asked for", "say quoin man, or quoin help VERB", args[0])
				}
				return writeMan(io.out, verbs())
			}
		},
	}
}

// writeMan writes the manual in the macros of man(7).
func writeMan(w io.Writer, verbs []verb) error {
	p := &manPage{}
	p.macro("TH", "QUOIN", "1", "", "quoin "+versionText(), "User Commands")
	p.macro("SH", "NAME")
	p.text("quoin - impose label artwork for a roll-to-roll digital press")
	p.macro("SH", "SYNOPSIS")
	p.macro("B", "quoin")
	p.text("VERB [FLAGS] [FILES]")
	p.macro("SH", "DESCRIPTION")
	p.text("quoin lays label artwork on the web of a narrow-web digital press, writes the PDF that the press prints, and says what the run takes. " +
		"The artwork is never scaled, flattened, converted or encoded again.")
	p.macro("PP")
	p.text("Lengths need a unit: mm, cm, in, pt or um. A size is across x around, as 50x75mm. " +
		"Results go to standard output, messages to standard error. " +
		"Files appear whole or not at all.")
	p.macro("SH", "VERBS")
	for _, v := range verbs {
		p.macro("SS", strings.TrimSpace("quoin "+v.name+" "+v.args))
		p.text(strings.ToUpper(v.short[:1]) + v.short[1:] + ".")
		if page := v.page(); page != "" {
			for _, paragraph := range strings.Split(page, "\n\n") {
				p.macro("PP")
				p.text(paragraph)
			}
		}
		for _, r := range v.table() {
			p.flag(r)
		}
		p.macro("PP")
		p.text("Example:")
		p.macro("PP")
		p.macro("EX")
		p.line(v.example)
		p.macro("EE")
	}
	p.macro("SH", "EXIT STATUS")
	for _, e := range exitCodes {
		p.macro("TP")
		p.macro("B", fmt.Sprint(e.code))
		p.text(e.means)
	}
	p.codes()
	p.macro("SH", "ENVIRONMENT")
	p.macro("TP")
	p.macro("B", "NO_COLOR")
	p.text("When it is set to anything, nothing is coloured.")
	p.macro("SH", "CAUTIONS")
	p.text("The program advises; local law, the customer's quality unit and the machines' own manuals decide. " +
		"Look at the first good frame before the run. Drug labels never share a frame with another product. " +
		"Dies are sharp: lift and store them guarded. Stop before reaching into a nip. " +
		"Speeds are figures for planning, never commands to a machine.")
	_, err := io.WriteString(w, p.b.String())
	return err
}

// manPage gathers the lines of a page.
type manPage struct{ b strings.Builder }

// codes lists what the stable words of notes, reasons and differences mean.
func (p *manPage) codes() {
	p.macro("SH", "CODES")
	p.text("Warnings, notes, reasons, differences and refusals have a code in JSON, for scripts. A code never changes its meaning.")
	for _, c := range codes() {
		p.macro("SS", say.Title(c.Title))
		for _, m := range c.List {
			p.macro("TP")
			p.macro("B", m.Code)
			p.text(say.Title(m.Text) + ".")
		}
	}
}

// macro writes a line of control.
func (p *manPage) macro(name string, args ...string) {
	p.b.WriteString("." + name)
	for _, a := range args {
		p.b.WriteString(` "` + strings.ReplaceAll(escaped(a), `"`, `\(dq`) + `"`)
	}
	p.b.WriteString("\n")
}

// text writes a paragraph in short lines, none of which looks like a line of
// control. A sentence ends its line: man sets the space behind it.
func (p *manPage) text(text string) {
	line := ""
	put := func() {
		if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
			line = `\&` + line
		}
		if line != "" {
			p.b.WriteString(line + "\n")
		}
		line = ""
	}
	for _, word := range strings.Fields(text) {
		word = escaped(word)
		if line != "" && len(line)+1+len(word) > 76 {
			put()
		}
		line = strings.TrimPrefix(line+" "+word, " ")
		if strings.HasSuffix(word, ".") {
			put()
		}
	}
	put()
}

// line writes a line as it is.
func (p *manPage) line(text string) { p.b.WriteString(`\&` + escaped(text) + "\n") }

func (p *manPage) flag(r flagRow) {
	p.macro("TP")
	var names []string
	for _, n := range r.names() {
		names = append(names, `\fB`+escaped(n)+`\fR`)
	}
	line := strings.Join(names, ", ")
	if r.value != "" {
		line += ` \fI` + escaped(r.value) + `\fR`
	}
	p.b.WriteString(line + "\n")
	p.text(strings.ToUpper(r.usage[:1]) + r.usage[1:] + ".")
}

// escaped returns text that shows as it is: a hyphen of a command line is a minus.
func escaped(text string) string {
	return strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(text)
}
