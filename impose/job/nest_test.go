package job

import (
	"slices"
	"testing"

	"quoin/geometry"
)

// TestNestTurns: rows are turned by 180 degrees unless somebody minds.
func TestNestTurns(t *testing.T) {
	winding, err := geometry.ParseWinding("face out, top leads")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		edit func(*Job)
		want []geometry.Turn
	}{
		{"nothing said", func(j *Job) {}, []geometry.Turn{0, 1, 2, 3}},
		{"turn: auto", func(j *Job) { j.Turns = AutoTurns() }, []geometry.Turn{0, 1, 2, 3}},
		{"nest-upright", func(j *Job) { j.NestUpright = true }, []geometry.Turn{0, 1}},
		{"one turn", func(j *Job) { j.Turns = []geometry.Turn{1} }, []geometry.Turn{1}},
		{"a list of turns", func(j *Job) { j.Turns = []geometry.Turn{0, 2} }, []geometry.Turn{0, 2}},
		{"a winding", func(j *Job) { j.Winding, j.Windings = &winding, 1 }, nil},
	} {
		j := New()
		c.edit(j)
		got := NestTurns(j)
		if c.want == nil {
			c.want = turns(j) // the one that the winding needs
			if len(c.want) != 1 {
				t.Fatalf("%s: %v", c.name, c.want)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestNestKeys(t *testing.T) {
	j := mustParse(t, "nest: true\nnest-upright: true\nnest-apart: true")
	if !j.Nest || !j.NestUpright || !j.NestApart {
		t.Errorf("%v %v %v", j.Nest, j.NestUpright, j.NestApart)
	}
}
