package job

import (
	"cmp"
	"slices"
	"strings"

	"quoin/impose/say"

	"go.yaml.in/yaml/v4"
)

// Flag is a word of a command line that says what a job file can say, and
// overrides it. Its value is read as the file's is.
type Flag struct {
	Name    string
	Kind    string   // of the value: what the help calls it; "bool" for a switch
	Usage   string   // for the help; a word in backquotes names the value instead
	Default string   // that the help shows
	Choices []string // words that it takes, where they are few

	over  []string                 // keys of a house file that give way to it, when not the name
	key   string                   // of the job file that reads the value, when not the name
	read  func(*jobFile, value)    // reads it where no key does
	late  func(*Job, string) error // takes what can't be judged without the job, such as a file
	first bool                     // goes before the others, which may put back what it takes away
}

// Said is a flag that was given.
type Said struct {
	Flag *Flag
	Text string // of its value
}

// Check reads a value by itself, and gives it in one of the ways to write it,
// always the same.
func (f *Flag) Check(text string) (string, error) {
	if f.late != nil {
		return text, nil
	}
	j := New()
	j.Artworks = []Artwork{{Page: 1}}
	return f.set(j, text)
}

// set reads the value into a job.
func (f *Flag) set(j *Job, text string) (said string, err error) {
	said = text
	var src source
	r := newReader("", nil)
	r.begin(&src, place{1, 1}, 1)
	r.heard = func(s string) { said = s }
	node := &yaml.Node{Kind: yaml.ScalarNode, Value: text, Line: 1, Column: 1}
	key := cmp.Or(f.key, f.Name)
	file := jobFile{Job: j, open: loadRegular, from: &src, dir: j.Dir}
	if f.read != nil {
		key = ""
		f.read(&file, value{reader: r}.inner("", node))
	} else {
		parts := strings.Split(key, ".")
		for _, part := range slices.Backward(parts) {
			node = &yaml.Node{Kind: yaml.MappingNode, Line: 1, Column: 1, Content: []*yaml.Node{
				{Kind: yaml.ScalarNode, Value: part, Line: 1, Column: 1}, node}}
		}
		readMap(value{reader: r}.inner("", node), &file, jobKeys)
	}
	if len(r.faults) > 0 {
		wrong := &r.faults[0]
		text := wrong.What
		if wrong.Of != key {
			text = wrong.Text()
		}
		return "", say.Refuse(say.Usage, wrong.Hint, "%s", text)
	}
	return said, nil
}

// Override puts the flags that were given over the job. An error is a refusal of the
// kind Usage, or that of a file which a flag names.
func (j *Job) Override(said []Said) error {
	for _, r := range flagRules {
		if r.Broken(func(flag string) string { return textOf(said, flag) }) {
			return say.Refuse(say.Usage, r.Way, "%s", r.Text)
		}
	}
	for _, s := range said {
		if slices.Contains(repeatFlags, s.Flag.Name) {
			j.Repeat = Repeat{}
		}
	}
	for _, first := range []bool{true, false} {
		for _, s := range said {
			if s.Flag.first != first {
				continue
			}
			if s.Flag.late != nil {
				if err := s.Flag.late(j, s.Text); err != nil {
					return err
				}
			} else if _, err := s.Flag.set(j, s.Text); err != nil {
				return say.Refuse(say.Usage, say.Hint(err), "--%s %v", s.Flag.Name, err)
			}
		}
	}
	return nil
}

// textOf returns the text of a flag that was given.
func textOf(said []Said, name string) string {
	if i := slices.IndexFunc(said, func(s Said) bool { return s.Flag.Name == name }); i >= 0 {
		return said[i].Text
	}
	return ""
}
