package job

import (
	"slices"
	"strings"
)

// FlagRule is a combination of flags that makes no sense. A flag is named as it
// is given, with a value behind it where only that is meant: lanes=mixed.
type FlagRule struct {
	Given   []string // all of these; of several with bars between, one is enough
	Without []string // and none of these
	Text    string   // what is wrong
	Way     string   // out
}

// Broken reports whether a command line is such a combination. value gives what
// a flag says; "" where it isn't given.
func (r *FlagRule) Broken(value func(flag string) string) bool {
	given := func(flag string) bool {
		name, want, one := strings.Cut(flag, "=")
		got := value(name)
		return got != "" && (!one || got == want)
	}
	for _, flags := range r.Given {
		if !slices.ContainsFunc(strings.Split(flags, "|"), given) {
			return false
		}
	}
	return !slices.ContainsFunc(r.Without, given)
}

// OneOf returns the rules by which at most one of some flags is given.
func OneOf(text, way string, flags ...string) (rules []FlagRule) {
	for i, a := range flags {
		for _, b := range flags[:i] {
			rules = append(rules, FlagRule{Given: []string{a, b}, Text: text, Way: way})
		}
	}
	return rules
}

// repeatFlags are the rules for the frame's length.
var repeatFlags = []string{"frame-max", "repeat", "teeth"}

const repeatWay = "give one of --frame-max L, --repeat L, or --teeth N with --pitch P"

// flagRules see to it that one rule for the repeat is given, and can win over
// the job's.
var flagRules = append(OneOf("the repeat is given more than once", repeatWay, repeatFlags...),
	FlagRule{Given: []string{"teeth"}, Without: []string{"pitch"}, Text: "--teeth needs the gear's pitch", Way: "add --pitch 3.175mm for 1/8 inch circular pitch"},
	FlagRule{Given: []string{"pitch"}, Without: []string{"teeth"}, Text: "--pitch needs the number of teeth", Way: repeatWay},
)
