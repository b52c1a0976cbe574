package artwork

import (
	"slices"
	"unicode/utf8"

	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// State tells how much of an ink the press will see.
type State string

// The states, from most to least.
const (
	Used    State = "used"    // painted where it prints
	Outside State = "outside" // painted only beyond the bleed box
	Hidden  State = "hidden"  // painted only in layers that are off
	Blank   State = "blank"   // its colour space is set, but nothing is painted in it
	Present State = "present" // in the resources, never set
)

// Idle reports whether a RIP makes a plate of an ink although nothing prints in
// it: one of each colorant whose colour space is set in what it reads, be it
// with no tint, beyond the page or in a layer that is off. It makes none of what
// only stands in the resources (seen of Ghostscript's separations, version 10).
func (s State) Idle() bool { return s == Outside || s == Hidden || s == Blank }

// Usage is an ink of a page and what the page does with it.
type Usage struct {
	ink.Ink
	State     State
	Raw       pdfobj.Name   // the name as the file has it, byte for byte
	Others    []pdfobj.Name // other bytes that spell the same name: UTF-8 beside Latin-1
	Said      ink.Kind      // what the processing steps say of it; "" if nothing
	Where     []string      // of paths, text, images, shadings: those that use it
	Alternate ink.Alternate // of a spot
}

// inkUse gathers what becomes a Usage.
type inkUse struct {
	name  string
	raw   pdfobj.Name
	more  []pdfobj.Name // other spellings
	state State
	where what
	kinds map[ink.Kind]bool // said by the steps around each use; "" for none

	separation pdfobj.Object // a Separation colour space of this ink alone
	alternate  ink.Alternate
	other      ink.Alternate // of another Separation that doesn't agree
	cmyk       [4]float64
}

// what is a set of things that are painted.
type what uint8

const (
	paths what = 1 << iota
	texts
	pictures
	shadings
	groups // transparency groups, which blend in a space
)

func (w what) names() (list []string) {
	for i, name := range []string{"paths", "text", "images", "shadings", "groups"} {
		if w>>i&1 == 1 {
			list = append(list, name)
		}
	}
	return list
}

// processLook is how each process ink looks.
var processLook = map[string][4]float64{
	ink.Cyan: {1, 0, 0, 0}, ink.Magenta: {0, 1, 0, 0}, ink.Yellow: {0, 0, 1, 0}, ink.Black: {0, 0, 0, 1},
}

// ink returns the ink of a name in a colour space, made when first met.
func (s *scan) ink(raw pdfobj.Name) *inkUse {
	name := raw.Text()
	if u := s.inks[name]; u != nil {
		if u.raw != raw && !slices.Contains(u.more, raw) {
			u.more = append(u.more, raw)
			s.found.page(InkSpellings, "the ink name %q is spelled in UTF-8 and in Latin-1, which are two plates to a RIP; both are written in UTF-8", name)
		}
		return u
	}
	u := &inkUse{name: name, raw: raw, kinds: map[ink.Kind]bool{}, cmyk: processLook[name]}
	s.inks[name] = u
	s.order = append(s.order, u)
	if !utf8.ValidString(string(raw)) {
		s.found.page(NameInvalid, "the ink name %q is not UTF-8; PDF/X asks for that", name)
	}
	return u
}

// look learns from a colour space of which the ink is component i. What a
// Separation says goes before what a DeviceN says, and the first before the
// others.
func (u *inkUse) look(sp *space, i int) {
	single := sp.label == "Separation"
	if !single && (u.separation != nil || u.alternate.Space != "") {
		return
	}
	alternate, cmyk := sp.alternate(i)
	if u.separation != nil {
		if u.alternate.Space != "" && alternate.Space != "" && !u.alternate.Same(alternate) {
			u.other = alternate
		}
		return
	}
	if single {
		u.separation = sp.object
	}
	if alternate.Space == "" {
		return
	}
	u.alternate = alternate
	if !ink.IsProcess(u.name) {
		u.cmyk = cmyk
	}
}

// rank orders states from least to most.
var rank = map[State]int{Present: 1, Blank: 2, Hidden: 3, Outside: 4, Used: 5}

func (u *inkUse) note(state State, w what, kind ink.Kind) {
	if rank[state] > rank[u.state] {
		u.state = state
	}
	u.where |= w
	u.kinds[kind] = true
}

// said returns what the steps say of the ink: only what all its uses agree on.
func (u *inkUse) said() ink.Kind {
	if len(u.kinds) != 1 {
		return ""
	}
	for k := range u.kinds {
		return k
	}
	return ""
}

// usagesOf lists the inks: process inks in their order, then the others in the
// order in which the page brings them.
func usagesOf(s *scan) []Usage {
	var list []Usage
	for _, u := range s.order {
		if u.state == "" {
			continue
		}
		list = append(list, Usage{
			Ink:       ink.Ink{Name: u.name, Kind: s.rules.Kind(s.rules.Name(u.name), u.said()), CMYK: u.cmyk},
			State:     u.state,
			Raw:       u.raw,
			Others:    u.more,
			Said:      u.said(),
			Where:     u.where.names(),
			Alternate: u.alternate,
		})
	}
	return list
}
