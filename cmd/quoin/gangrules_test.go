package main

import (
	"slices"
	"testing"

	"github.com/spf13/pflag"
)

// TestWhatANightDependsOn sets each flag of gang by itself: it must make another
// night of it, or be in the list of those that change no byte of the folder.
func TestWhatANightDependsOn(t *testing.T) {
	words := func(change func(*pflag.FlagSet)) []string {
		fs, _ := gangVerb.flags()
		change(fs)
		return (&gangFlags{fs: fs}).words()
	}
	usual := words(func(*pflag.FlagSet) {})
	fs, _ := gangVerb.flags()
	fs.VisitAll(func(flag *pflag.Flag) {
		other := words(func(fs *pflag.FlagSet) {
			var err error
			for _, text := range []string{"true", "7", "7mm", "7x7mm", "7%", "7s", "7m/min", "mixed", "whole", "letter", "minutes", "d/m/y", "comma", "windows-1250", "circle", "rush", "auto", "face out, top leads", "A,B"} {
				if err = fs.Set(flag.Name, text); err == nil && fs.Lookup(flag.Name).Value.String() != flag.Value.String() {
					return
				}
			}
			t.Errorf("--%s takes no value of the test: %v", flag.Name, err)
		})
		if same, listed := slices.Equal(usual, other), slices.Contains(noInput, flag.Name); same != listed {
			t.Errorf("--%s: same night %v, listed as no input %v", flag.Name, same, listed)
		}
	})
	for _, name := range noInput {
		if fs.Lookup(name) == nil {
			t.Errorf("gang has no flag --%s", name)
		}
	}
}
