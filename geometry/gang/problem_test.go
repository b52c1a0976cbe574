package gang

import (
	"strings"
	"testing"
)

func TestValidateNamesTheFault(t *testing.T) {
	good := func() Problem {
		return Problem{Orders: []Order{{Name: "mint", Demand: 30}, {Demand: 20}}, Capacity: 4, LengthCost: 1}
	}
	for _, tc := range []struct {
		want  string
		spoil func(*Problem)
	}{
		{"no orders", func(p *Problem) { p.Orders = nil }},
		{"capacity 0", func(p *Problem) { p.Capacity = 0 }},
		{"step -1", func(p *Problem) { p.Step = -1 }},
		{"length cost 0", func(p *Problem) { p.LengthCost = 0 }},
		{"run cost -1", func(p *Problem) { p.RunCost = -1 }},
		{"must not be negative", func(p *Problem) { p.MaxRuns = -1 }},
		{`order "mint": demand 0`, func(p *Problem) { p.Orders[0].Demand = 0 }},
		{"order 2: width 5 does not fit", func(p *Problem) { p.Orders[1].Width = 5 }},
		{"under the demand", func(p *Problem) { p.Orders[0].Most = 29 }},
		{"allow more overs", func(p *Problem) { p.Step, p.Orders[0].Most = 7, 34 }},
		{"under the least run length", func(p *Problem) { p.LeastLength, p.Orders[0].Most = 40, 35 }},
		{"too large", func(p *Problem) { p.Orders[0].Demand = 1 << 60 }},
	} {
		p := good()
		tc.spoil(&p)
		if err := p.Validate(); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("want %q, got %v", tc.want, err)
		}
	}
	p := good()
	if err := p.Validate(); err != nil {
		t.Error(err)
	}
}
