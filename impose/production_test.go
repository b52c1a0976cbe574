package impose

import (
	"math"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
)

// TestProduction is W1 on a press with master rolls of 500 m, no non-stop
// unwinder, five minutes a change, finishing at 60 m/min and prices. By hand:
// 0.34 m x 1402.111527 m = 476.718 m2; 3 master rolls, 2 changes, 10 min;
// finishing 23.369 min; blanket 1402.11 / 25000 = 5.608 %.
func TestProduction(t *testing.T) {
	j := w1(t, 4)
	press := j.Press
	press.Unwinder = job.Unwinder{RollChange: 5, MasterRoll: 500 * geometry.Metre}
	press.Finishing.DieCutting = 60 * geometry.Metre
	press.Consumables[0].Price = 100
	press.Prices = &job.Prices{Currency: "EUR", WebPerM2: 0.5, PressPerHour: 180, FinishPerHour: 90, PerSetup: 40}
	j.Roll.Labels = 2500
	im, err := Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	s, err := im.Summary(Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	p := s.Production
	if p.MasterRolls != 3 || p.RollChanges != 2 || p.SlowestStep != "finishing" || p.NonStop || p.Splices != nil {
		t.Errorf("%+v", p)
	}
	for _, v := range []struct {
		name      string
		got, want float64
	}{
		{"material m2", p.MaterialM2, 476.718}, {"change min", p.ChangeMin, 10}, {"press min", p.PressMin, 21.684},
		{"finish min", p.FinishMin, 23.369}, {"blanket %", p.Consumables[0].SharePercent, 5.608}, {"drum %", p.Consumables[1].SharePercent, 0.140},
		{"material", p.Cost.Material, 238.359}, {"press", p.Cost.Press, 65.053}, {"finishing", p.Cost.Finishing, 35.053},
		{"wear", p.Cost.Consumables, 5.608}, {"total", p.Cost.Total, 384.073}, {"a thousand", p.Cost.PerThousand, 3.841},
	} {
		if math.Abs(v.got-v.want) > 0.0006 {
			t.Errorf("%s is %.4f, want %.3f", v.name, v.got, v.want)
		}
	}

	// Without splices each master roll holds whole finished rolls only; with
	// non-stop the changes cost nothing and the saving is said.
	no := false
	j.Roll.Splices, press.Unwinder.NonStop = &no, true
	if s, err = im.Summary(Written{Pages: 1}); err != nil {
		t.Fatal(err)
	}
	if p = s.Production; p.MasterRolls != 4 || p.ChangeMin != 0 || p.SavedMin != 15 || math.Abs(p.PressMin-11.684) > 0.0006 {
		t.Errorf("non-stop, no splices: %+v", p)
	}
}
