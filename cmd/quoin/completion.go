package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"
)

// shells write the completion of each shell.
var shells = []struct {
	name  string
	write func(io.Writer, []verb) error
}{
	{"bash", writeBash}, {"zsh", writeZsh}, {"fish", writeFish},
}

// completionVerb is made anew each time, since its script holds all verbs.
func completionVerb() verb {
	return verb{
		name:    "completion",
		args:    "bash|zsh|fish",
		short:   "print a script with which the shell completes verbs, flags and their values",
		example: `eval "$(quoin completion bash)"`,
		setUp: func(*pflag.FlagSet) func(context.Context, streams, []string) error {
			return func(_ context.Context, io streams, args []string) error {
				for _, s := range shells {
					if len(args) == 1 && args[0] == s.name {
						return s.write(io.out, verbs())
					}
				}
				return usagef("a shell is missing, or not known", "say bash, zsh or fish")
			}
		},
	}
}

// names returns what stands on the command line for a flag.
func (r flagRow) names() []string {
	list := []string{"--" + r.name}
	if r.short != "" {
		list = append(list, "-"+r.short)
	}
	return list
}

func writeBash(w io.Writer, verbs []verb) error {
	var b strings.Builder
	var all []string
	for _, v := range verbs {
		all = append(all, v.name)
	}
	fmt.Fprintf(&b, `# Completion of quoin for bash.
_quoin() {
	local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} flags= values=
	COMPREPLY=()
	if [ "$COMP_CWORD" -eq 1 ]; then
		COMPREPLY=($(compgen -W "%s help version" -- "$word"))
		return
	fi
	# Bash cuts --flag=value at the sign.
	if [ "$word" = "=" ]; then word=; elif [ "$before" = "=" ]; then before=${COMP_WORDS[COMP_CWORD-2]}; fi
	case "${COMP_WORDS[1]} $before" in
`, strings.Join(all, " "))
	for _, v := range verbs {
		for _, r := range v.table() {
			if r.choices != nil {
				fmt.Fprintf(&b, "	%q) values=%q ;;\n", v.name+" --"+r.name, strings.Join(r.choices, " "))
			}
		}
	}
	fmt.Fprintf(&b, "\t\"help \"*) values=%q ;;\n\t\"completion \"*) values=\"bash zsh fish\" ;;\n\tesac\n", strings.Join(all, " "))
	b.WriteString(`	if [ -n "$values" ]; then
		COMPREPLY=($(compgen -W "$values" -- "$word"))
		return
	fi
	case "${COMP_WORDS[1]}" in
`)
	for _, v := range verbs {
		var flags []string
		for _, r := range v.table() {
			flags = append(flags, r.names()...)
		}
		fmt.Fprintf(&b, "	%s) flags=%q ;;\n", v.name, strings.Join(flags, " "))
	}
	b.WriteString(`	esac
	case "$word" in
	-*) COMPREPLY=($(compgen -W "$flags" -- "$word")) ;;
	esac
}
complete -o bashdefault -o default -F _quoin quoin
`)
	_, err := io.WriteString(w, b.String())
	return err
}

func writeZsh(w io.Writer, verbs []verb) error {
	var b strings.Builder
	b.WriteString("#compdef quoin\n# Completion of quoin for zsh.\n_quoin() {\n\tlocal -a verbs\n\tverbs=(\n")
	for _, v := range verbs {
		fmt.Fprintf(&b, "\t\t%s\n", quoted(v.name+":"+v.short))
	}
	b.WriteString(`	)
	if (( CURRENT == 2 )); then
		_describe verb verbs
		return
	fi
	local verb=$words[2]
	shift words
	(( CURRENT-- ))
	case $verb in
	help) _describe verb verbs ;;
	completion) _values shell bash zsh fish ;;
`)
	for _, v := range verbs {
		if v.name == "completion" {
			continue
		}
		fmt.Fprintf(&b, "\t%s)\n\t\t_arguments \\\n", v.name)
		for _, r := range v.table() {
			for _, name := range r.names() {
				fmt.Fprintf(&b, "\t\t\t%s \\\n", quoted(zshFlag(r, name)))
			}
		}
		b.WriteString("\t\t\t'*:file:_files'\n\t\t;;\n")
	}
	b.WriteString(`	esac
}
if [ "$funcstack[1]" = _quoin ]; then
	_quoin "$@"
else
	compdef _quoin quoin
fi
`)
	_, err := io.WriteString(w, b.String())
	return err
}

// zshFlag is a flag as _arguments reads it. Names exclude each other.
func zshFlag(r flagRow, name string) string {
	escape := strings.NewReplacer("[", `\[`, "]", `\]`, ":", `\:`)
	text := "(" + strings.Join(r.names(), " ") + ")" + name
	if r.value != "" && name != "-"+r.short {
		text += "="
	}
	text += "[" + escape.Replace(r.usage) + "]"
	switch {
	case r.value == "":
	case r.choices != nil:
		text += ":" + escape.Replace(r.value) + ":(" + strings.Join(r.choices, " ") + ")"
	case r.takesFile():
		text += ":" + escape.Replace(r.value) + ":_files"
	default:
		text += ":" + escape.Replace(r.value) + ": "
	}
	return text
}

func writeFish(w io.Writer, verbs []verb) error {
	var b strings.Builder
	b.WriteString("# Completion of quoin for fish.\n")
	for _, v := range verbs {
		fmt.Fprintf(&b, "complete -c quoin -f -n __fish_use_subcommand -a %s -d %s\n", v.name, quoted(v.short))
	}
	b.WriteString("complete -c quoin -f -n '__fish_seen_subcommand_from completion' -a 'bash zsh fish'\n")
	for _, v := range verbs {
		for _, r := range v.table() {
			fmt.Fprintf(&b, "complete -c quoin -n '__fish_seen_subcommand_from %s' -l %s", v.name, r.name)
			if r.short != "" {
				fmt.Fprintf(&b, " -s %s", r.short)
			}
			switch {
			case r.value == "":
			case r.choices != nil:
				fmt.Fprintf(&b, " -x -a %s", quoted(strings.Join(r.choices, " ")))
			case r.takesFile():
				b.WriteString(" -r -F")
			default:
				b.WriteString(" -x")
			}
			fmt.Fprintf(&b, " -d %s\n", quoted(r.usage))
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// quoted returns text as one word of a shell. Zsh ends a quotation at the sign and
// goes on with one that is escaped; so does fish.
func quoted(text string) string { return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'" }

// verbNames lists the verbs.
func verbNames() []string {
	var names []string
	for _, v := range verbs() {
		names = append(names, v.name)
	}
	return slices.Clip(names)
}
