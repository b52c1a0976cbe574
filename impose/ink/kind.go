package ink

import (
	"strings"
	"sync"
	"unicode"
)

// words says what a word in an ink's name tells of the ink: common practice,
// no source. A kind is believed only when every word of the name stands here,
// so that "White Gold", "Cut Grass" and "Black Varnish Tree" stay spots. The
// words of fillers tell nothing by themselves.
var words = sync.OnceValue(func() map[string]Kind {
	table := map[string]Kind{}
	for kind, list := range map[Kind]string{
		White: `white opaquewhite underwhite whiteunderprint whiteink
			weiss weiß deckweiss deckweiß blanc blanco bianco branco wit dekwit`,
		Varnish: `varnish varnishes coat coating clear clearcoat lacquer overprintvarnish
			lack drucklack vernis barniz vernice verniz lak`,
		Technical: `die dieline dielines diecut diecutting cutter cut cuts cutting cutline kisscut kisscutting
			crease creases creasing scoring fold folds folding foldline perf perforate perforation perforating
			punching drilling contour outline guide guides guideline legend dimension dimensions measure
			keyline template technical nonprinting noprint bleedline trimline
			stanze stanzen stanzform stanzkontur stanzlinie kontur schnitt schnittlinie rillen rillung rilllinie falz falzlinie
			perforationslinie bemaßung bemassung technik
			decoupe découpe coupe forme rainage rainure pliage perfo cotes gabarit
			troquel troquelado corte hendido plegado cotas fustella taglio cordonatura piega quote
			stans stansen stanslijn snijlijn rillijn vouwlijn`,
		"": `ink inks layer line lines path plate plates spot colour color print printing underprint under over
			opaque base back backing front flood mask hit matt matte mat gloss glossy satin uv kiss through free safety area only non no first second
			de la le of and farbe linie ebene`,
	} {
		for _, w := range strings.Fields(list) {
			table[w] = kind
		}
	}
	return table
})

// guess reads the kind from the name's words; Spot when they don't say.
func guess(name string) Kind {
	kind := Kind("")
	for _, w := range split(name) {
		k, known := words()[w]
		switch {
		case !known && strings.Trim(w, "0123456789") != "":
			return Spot
		case k == Technical || kind == "":
			kind = k // "white die" is a die line, whatever stands beside it
		}
	}
	if kind == "" {
		return Spot
	}
	return kind
}

// cuts are the words of Technical that speak of a label's edge, not of folds,
// dimensions or legends.
var cuts = sync.OnceValue(func() map[string]bool {
	table := map[string]bool{}
	for _, w := range strings.Fields(`die dieline dielines diecut diecutting cutter cut cuts cutting cutline kisscut kisscutting
			contour outline keyline
			stanze stanzen stanzform stanzkontur stanzlinie kontur schnitt schnittlinie
			decoupe découpe coupe forme troquel troquelado corte fustella taglio stans stansen stanslijn snijlijn`) {
		table[w] = true
	}
	return table
})

// NamesCut reports whether the words of a technical ink's name speak of cutting:
// common practice, no source.
func NamesCut(name string) bool {
	for _, w := range split(name) {
		if cuts()[w] {
			return true
		}
	}
	return false
}

// split cuts a name into lower-case words at spaces, signs, digits and at
// capitals inside a word ("DieLine").
func split(name string) []string {
	var list []string
	var word []rune
	end := func() {
		if len(word) > 0 {
			list = append(list, strings.ToLower(string(word)))
			word = word[:0]
		}
	}
	for _, r := range name {
		switch {
		case unicode.IsLetter(r) || unicode.IsMark(r):
			n := len(word)
			if n > 0 && (!unicode.IsLetter(word[n-1]) || unicode.IsUpper(r) && unicode.IsLower(word[n-1])) {
				end()
			}
			word = append(word, r)
		case unicode.IsDigit(r):
			if n := len(word); n > 0 && !unicode.IsDigit(word[n-1]) {
				end()
			}
			word = append(word, r)
		default:
			end()
		}
	}
	end()
	return list
}

// steps gives the kind of an ink that is used only in layers of a processing
// step group (ISO 19593-1:2018; the group names as ISO 32000-2 and public
// descriptions of the standard give them). Groups not listed, such as those
// of the maker's own, say nothing.
var steps = map[string]Kind{
	"Structural": Technical,
	"Positions":  Technical,
	"Dimensions": Technical,
	"Legend":     Technical,
	"Braille":    Technical, // embossed or screened at a finishing station
	"White":      White,
	"Varnish":    Varnish,
}

// StepKind returns the kind of an ink that is used only in layers of the
// processing step group; "" when the group says nothing of it.
func StepKind(group string) Kind { return steps[group] }
