package ink

import (
	"slices"

	"quoin/impose/say"
)

// Mixture is a colour space that paints several inks at once, a DeviceN
// (ISO 32000-1 8.6.6.5). Its colorants must all be different: of two that were
// made one, a RIP takes the tint of one and loses the other's.
type Mixture struct {
	Names  []string // as the artwork spells them; None left out
	Source string   // the artwork page, for people
}

// CheckMerges refuses the first mixture of which the rules
// make two colorants the same.
func CheckMerges(mixtures []Mixture, rules Rules) error {
	for _, m := range mixtures {
		first := map[string]string{}
		for _, n := range m.Names {
			to := rules.Name(n)
			if rules.Silenced(to) || !rules.Kind(to, "").Prints() {
				continue // several may be None
			}
			if other, ok := first[to]; ok && other != n {
				return say.Refuse(say.BadFile, "take the alias out, and have the two inks made one in the artwork by the program that made it",
					"%s mixes %q and %q in one colour space (DeviceN), and under the job's aliases both would be %q: the ink of one would be lost", m.Source, other, n, to)
			}
			first[to] = n
		}
	}
	return nil
}

// mixed reports whether a mixture has both inks, by their names on the press.
func mixed(mixtures []Mixture, rules Rules, a, b string) bool {
	has := func(m Mixture, name string) bool {
		return slices.ContainsFunc(m.Names, func(n string) bool { return rules.Name(n) == name })
	}
	return slices.ContainsFunc(mixtures, func(m Mixture) bool { return has(m, a) && has(m, b) })
}
