package geometry

import (
	"strings"
	"testing"
)

// The run is W1: 1303.0209 m net, 60 m of set-up, 3 % of run waste, 1402.1115 m
// gross; finished rolls of 2,500 labels at 78.175 mm are 195.4375 m, with run
// waste 201.300625 m. Calculated by hand.
func TestMasterRolls(t *testing.T) {
	run := &Usage{Net: 1389 * 938100 * Micrometre}
	terms := Terms{Setup: 60 * Metre, RunWaste: 3 * Percent}
	run.Gross = terms.RunWaste.MoreLength(run.Net) + terms.Setup
	finished := 2500 * 78175 * Micrometre
	for _, c := range []struct {
		master  Length
		spliced bool
		want    int64
	}{
		{2000 * Metre, true, 1},
		{1402 * Metre, true, 2}, // 11 cm short
		{500 * Metre, true, 3},
		// 7 finished rolls a lane: 440 m beside the set-up take 2, then 500 m take 2 each.
		{500 * Metre, false, 4},
		{2000 * Metre, false, 1},
		// 1,349 m beside the set-up take 6, one more roll takes the seventh.
		{1409 * Metre, false, 2},
	} {
		got, err := run.MasterRolls(terms, c.master, finished, c.spliced)
		if err != nil || got != c.want {
			t.Errorf("master rolls of %s, spliced %v: %d, %v; want %d", c.master, c.spliced, got, err, c.want)
		}
	}
	if _, err := run.MasterRolls(terms, 200*Metre, finished, false); err == nil || !strings.Contains(err.Error(), "too short") {
		t.Errorf("a master roll shorter than a finished one: %v", err)
	}
	if _, err := run.MasterRolls(terms, 0, finished, true); err == nil {
		t.Error("an empty master roll passes")
	}
}
