package ink

import (
	"cmp"
	"slices"
	"strings"

	"quoin/impose/say"
)

// Sighting is an ink as one artwork page has it.
type Sighting struct {
	Name      string // as the artwork spells it
	Said      Kind   // what the artwork's processing steps say; "" if nothing
	CMYK      [4]float64
	Alternate Alternate
	Source    string // the artwork page, for people: "front.pdf, page 2"
	Idle      string // why nothing prints in it although a RIP makes a plate of it; "" where it prints
}

// Entry is one ink of the table.
type Entry struct {
	Ink
	Silenced  bool      // the job wants it to print nowhere
	Alternate Alternate // of the first source that has one
	Sources   []string  // the artwork pages that use it, in the job's order
	Spelled   []string  // the names in the artworks, in order of appearance
	Idle      string    // why nothing prints in it, though a RIP makes a plate of it; "" where it prints
}

// Prints reports whether the ink is seen in print.
func (e Entry) Prints() bool { return e.TakesStation() && e.Idle == "" }

// TakesStation reports whether the ink occupies a station of the press: a RIP
// makes a plate of it, be it an empty one.
func (e Entry) TakesStation() bool { return !e.Silenced && e.Kind.Prints() }

// The codes of a Table's notes.
const (
	NoteDouble     = "ink-likely-double"
	NoteAlternates = "ink-alternates-differ"
	NoteKinds      = "ink-kinds-differ"
	NoteGuessed    = "ink-technical-by-name"
	NoteUnused     = "ink-rule-unused"
	NoteIdle       = "ink-idle"
)

// Table is every ink of a job, each once: process inks first in the order
// cyan, magenta, yellow, black, then spots, white, varnish and technical inks
// in the order in which the artworks bring them.
type Table struct {
	Inks  []Entry
	Notes say.Notes
}

// kindOrder is the order of the table.
var kindOrder = []Kind{Process, Spot, White, Varnish, Technical}

// NewTable merges the inks of all artworks by name, after the job's rules.
// One name has one alternate: that of the artwork which comes first. An ink
// that one artwork declares technical and another one prints is printed.
// Mixtures are those of the artworks: what they mix is never advised to be
// made one.
func NewTable(seen []Sighting, rules Rules, mixtures ...Mixture) *Table {
	t := &Table{}
	at := map[string]int{}
	// What prints goes before what is idle, in whichever artwork it is.
	seen = slices.Clone(seen)
	slices.SortStableFunc(seen, func(a, b Sighting) int { return cmp.Compare(min(1, len(a.Idle)), min(1, len(b.Idle))) })
	for _, s := range seen {
		name := rules.Name(s.Name)
		kind, guessed := rules.kind(name, s.Said)
		if guessed && kind == Technical {
			t.Notes.Add(NoteGuessed, "%q is taken for technical by its name alone and takes no station; say technical or spot in the job's ink rules", name)
		}
		i, known := at[name]
		if known && s.Idle != "" {
			if !slices.Contains(t.Inks[i].Spelled, s.Name) {
				t.Inks[i].Spelled = append(t.Inks[i].Spelled, s.Name)
			}
			continue
		}
		if !known {
			i = len(t.Inks)
			at[name] = i
			t.Inks = append(t.Inks, Entry{
				Ink:       Ink{Name: name, Kind: kind, CMYK: s.CMYK},
				Silenced:  rules.Silenced(name),
				Alternate: s.Alternate,
				Idle:      s.Idle,
			})
			e := &t.Inks[i]
			if !e.TakesStation() {
				e.Idle = ""
			}
			if e.Idle != "" {
				t.Notes.Add(NoteIdle, "%q takes a station for nothing: in %s %s, and a RIP makes an empty plate of it; list it under silence in the job's ink rules", name, s.Source, s.Idle)
			}
		}
		t.Inks[i].merge(s, kind, t)
	}
	t.sort()
	t.noteDoubles(mixtures, rules)
	t.noteUnused(seen, rules)
	return t
}

func (t *Table) sort() {
	slices.SortStableFunc(t.Inks, func(a, b Entry) int {
		if a.Kind == Process && b.Kind == Process {
			return cmp.Compare(slices.Index(ProcessNames[:], a.Name), slices.Index(ProcessNames[:], b.Name))
		}
		return cmp.Compare(slices.Index(kindOrder, a.Kind), slices.Index(kindOrder, b.Kind))
	})
}

// Add puts an ink into the table that no artwork brings, behind those of its
// kind.
func (t *Table) Add(i Ink) {
	t.Inks = append(t.Inks, Entry{Ink: i})
	t.sort()
}

func (e *Entry) merge(s Sighting, kind Kind, t *Table) {
	if len(e.Sources) > 0 && kind != e.Kind {
		// What prints wins: an ink that is left out by mistake costs the run.
		if !e.Kind.Prints() && kind.Prints() {
			e.Kind = kind
		}
		t.Notes.Add(NoteKinds, "%s is not of the same kind in %s as in %s; it counts as %s. Say which it is in the job's ink rules",
			e.Name, s.Source, e.Sources[0], e.Kind)
	}
	switch {
	case s.Alternate.Space == "":
	case e.Alternate.Space == "":
		e.Alternate, e.CMYK = s.Alternate, s.CMYK
	case !e.Alternate.Same(s.Alternate):
		t.Notes.Add(NoteAlternates, "%s looks like %s in %s but like %s in %s; the first is used for both",
			e.Name, e.Alternate, e.Sources[0], s.Alternate, s.Source)
	}
	if !slices.Contains(e.Sources, s.Source) {
		e.Sources = append(e.Sources, s.Source)
	}
	if !slices.Contains(e.Spelled, s.Name) {
		e.Spelled = append(e.Spelled, s.Name)
	}
}

func (t *Table) noteDoubles(mixtures []Mixture, rules Rules) {
	first := map[string]string{}
	for _, e := range t.Inks {
		key := alike(e.Name)
		other, ok := first[key]
		if ok && mixed(mixtures, rules, other, e.Name) {
			t.Notes.Add(NoteDouble, "%q and %q are likely one ink and take two stations; one colour space mixes both, so no alias can make them one: have the artwork corrected", other, e.Name)
			continue
		}
		if ok {
			t.Notes.Add(NoteDouble, "%q and %q are likely one ink and would take two stations; make them one with an alias in the job's ink rules", other, e.Name)
			continue
		}
		first[key] = e.Name
	}
}

func (t *Table) noteUnused(seen []Sighting, rules Rules) {
	for _, n := range rules.named() {
		rule, name := n[0], n[1]
		if !slices.ContainsFunc(seen, func(s Sighting) bool {
			return s.Name == name || rule != "alias" && rules.Name(s.Name) == name
		}) {
			t.Notes.Add(NoteUnused, "the %s rule speaks of %q, but no artwork uses an ink of that name", rule, name)
		}
	}
}

// Find returns the ink with this name on the press.
func (t *Table) Find(name string) (Entry, bool) {
	for _, e := range t.Inks {
		if e.Name == name {
			return e, true
		}
	}
	return Entry{}, false
}

// Wake says that an ink is drawn in after all, by the engine.
func (t *Table) Wake(name string) {
	for i := range t.Inks {
		if t.Inks[i].Name == name {
			t.Inks[i].Idle = ""
		}
	}
}

// Stations counts the inks that occupy a station.
func (t *Table) Stations() int {
	n := 0
	for _, e := range t.Inks {
		if e.TakesStation() {
			n++
		}
	}
	return n
}

// Printing returns the inks that are seen in print, in the order of the table.
func (t *Table) Printing() []Ink {
	var list []Ink
	for _, e := range t.Inks {
		if e.Prints() {
			list = append(list, e.Ink)
		}
	}
	return list
}

// alike returns one key to names that are likely meant to be one: they differ
// in case, spaces and signs, in "copy" or a count in brackets behind (as
// drawing programs add when an ink is imported twice), or in the letters for
// coated and uncoated stock. Common practice, no source.
func alike(name string) string {
	parts := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return r == ' ' || r == '\u00a0' || r == '-' || r == '_' || r == '.' || r == ','
	})
	if len(parts) > 1 && parts[0] == "process" {
		parts = parts[1:]
	}
	for len(parts) > 1 && suffix(parts) {
		parts = parts[:len(parts)-1]
	}
	return strings.Join(parts, "")
}

// suffix reports whether the last part is one that makes no other ink.
func suffix(parts []string) bool {
	last := parts[len(parts)-1]
	switch last {
	case "copy", "kopie", "copie", "copia", "c", "u", "m", "cv", "cvc", "cvu", "coated", "uncoated", "matte":
		return true
	}
	if strings.HasPrefix(last, "(") && strings.HasSuffix(last, ")") {
		return strings.Trim(last, "()0123456789") == ""
	}
	// "copy 2", but never a plain number: that is part of the name.
	return strings.Trim(last, "0123456789") == "" && slices.Contains([]string{"copy", "kopie", "copie", "copia"}, parts[len(parts)-2])
}
