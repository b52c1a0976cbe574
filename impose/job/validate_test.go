package job

import (
	"errors"
	"strings"
	"testing"

	"quoin/geometry"
)

var topOut = &geometry.Winding{Face: geometry.FaceOut, Leading: geometry.TopLeads}

// goodJob is a job that flags alone have filled.
func goodJob() *Job {
	j := New()
	j.WebWidth = 340 * mm
	j.Repeat.Longest = 980 * mm
	j.Artworks = []Artwork{{File: "a.pdf", Page: 1, Quantity: 1000}}
	return j
}

func TestValidateFindsEachFault(t *testing.T) {
	press, err := ParsePress("press.yaml", []byte(fullPress))
	if err != nil {
		t.Fatal(err)
	}
	three := func(j *Job, lanes ...Artwork) {
		j.Artworks = nil
		for _, a := range lanes {
			a.File, a.Page, a.Quantity = "a.pdf", 1, 1
			j.Artworks = append(j.Artworks, a)
		}
	}
	small, wide := geometry.Size{Across: 40 * mm, Around: 60 * mm}, geometry.Size{Across: 80 * mm, Around: 60 * mm}
	for want, spoil := range map[string]func(*Job){
		"":                                 func(j *Job) {},
		"web: is missing":                  func(j *Job) { j.WebWidth = 0 },
		"web: 341 mm is wider":             func(j *Job) { j.Press = press; j.WebWidth = 341 * mm },
		"web: 99 mm is narrower":           func(j *Job) { j.Press = press; j.WebWidth = 99 * mm },
		"frame-max: is missing":            func(j *Job) { j.Repeat.Longest = 0 },
		"frame-max: 981 mm is longer":      func(j *Job) { j.Press = press; j.Repeat.Longest = 981 * mm },
		"repeat: 981 mm is longer":         func(j *Job) { j.Press = press; j.Repeat = Repeat{Fixed: 981 * mm} },
		"teeth: 990.6 mm is longer":        func(j *Job) { j.Press = press; j.Repeat = Repeat{Teeth: 312, Gear: geometry.CircularPitch(3175000)} },
		"artworks: are missing":            func(j *Job) { j.Artworks = nil },
		"artworks[0].file: is missing":     func(j *Job) { j.Artworks[0].File = "" },
		"artworks[0].page: 0 is no page":   func(j *Job) { j.Artworks[0].Page = 0 },
		"artworks[1].quantity: is missing": func(j *Job) { j.Artworks = append(j.Artworks, Artwork{File: "b.pdf", Page: 1}) },
		"fields: need records":             func(j *Job) { j.Fields = []Field{{Symbol: "qr"}} },
		"data: is printed":                 func(j *Job) { j.Data = &Data{Count: 1} },
		"data: needs a file":               func(j *Job) { j.Data = &Data{Count: 1, File: "a.csv"}; j.Fields = []Field{{Symbol: "qr"}} },
		"fields[0]: is text":               func(j *Job) { j.Data = &Data{Count: 1}; j.Fields = []Field{{Cap: mm}} },
		"fields[0].fit: shrinking": func(j *Job) {
			j.Data, j.Fields = &Data{Count: 1}, []Field{{Cap: mm, Width: mm, Fit: "shrink"}}
		},
		"artworks[1].drug-label: a drug":  func(j *Job) { three(j, Artwork{}, Artwork{DrugLabel: true}) },
		"artworks[1].label: is missing":   func(j *Job) { three(j, Artwork{Label: small, LaneCount: 1}, Artwork{LaneCount: 1}) },
		"artworks: don't say their lanes": func(j *Job) { three(j, Artwork{Label: small}, Artwork{Label: wide}) },
		"artworks: lane 2 has no artwork": func(j *Job) {
			three(j, Artwork{Label: small, LaneList: []int{1}}, Artwork{Label: wide, LaneList: []int{3}})
		},
		"lanes: the artworks take 2 lanes of 3, and": func(j *Job) {
			three(j, Artwork{Label: small, LaneCount: 1}, Artwork{Label: wide, LaneCount: 1})
			j.Lanes = 3
		},
		"die: a die has labels of one size": func(j *Job) {
			three(j, Artwork{Label: small, LaneCount: 1}, Artwork{Label: wide, LaneCount: 1})
			j.Dies, j.Die = &Library{Dies: []geometry.Die{{Number: "0101"}}}, "0101"
		},
		"shape: labels of different sizes can't share circle": func(j *Job) {
			three(j, Artwork{Label: small, LaneCount: 1}, Artwork{Label: wide, LaneCount: 1})
			j.Shape = geometry.ShapeCircle
		},
		"artworks[0].lanes: are both":       func(j *Job) { three(j, Artwork{LaneCount: 1, LaneList: []int{2}}) },
		"artworks[1].lanes: lane 2":         func(j *Job) { three(j, Artwork{LaneList: []int{1, 2}}, Artwork{LaneList: []int{2}}) },
		"artworks[0].lanes: there is no":    func(j *Job) { three(j, Artwork{LaneList: []int{3}}); j.Lanes = 2 },
		"artworks: don't all say":           func(j *Job) { three(j, Artwork{LaneCount: 1}, Artwork{}) },
		"lanes: the artworks take 3":        func(j *Job) { three(j, Artwork{LaneCount: 1}, Artwork{LaneCount: 2}); j.Lanes = 2 },
		"marks.eye.track: 1 mm is narrower": func(j *Job) { e := DefaultEyeMark(); e.Track = mm; j.Marks.Eye = &e },
		"windings: is missing":              func(j *Job) { j.Winding = topOut },
		"turn: so that top leads after 1":   func(j *Job) { j.Winding, j.Windings, j.Turns = topOut, 1, []geometry.Turn{0} },
		"material.caliper: 0.5 mm":          func(j *Job) { j.Press = press; j.Material.Caliper = mm / 2 },
	} {
		j := goodJob()
		spoil(j)
		e, _ := errors.AsType[*FileError](j.Validate())
		switch {
		case want == "" && e != nil:
			t.Errorf("a good job has faults: %v", e)
		case want != "" && (e == nil || len(e.Faults) != 1 || !strings.HasPrefix(e.Error(), want)):
			t.Errorf("want %q, got %v", want, e)
		}
	}
}

// A line that couldn't be read is one fault, not also a missing value.
func TestValidateAddsToTheFaultsOfReading(t *testing.T) {
	j, _ := parse1(t, "web: 340\nartworks: [{file: a.pdf, quantity: many}]\n")
	e, ok := errors.AsType[*FileError](j.Validate())
	if !ok || len(e.Faults) != 3 {
		t.Fatalf("want web, quantity and frame-max, got %v", e)
	}
	var got []string
	for _, f := range e.Faults {
		got = append(got, f.Key)
	}
	if s := strings.Join(got, " "); s != "frame-max web artworks[0].quantity" {
		t.Errorf("faults of %s", s)
	}
	j.Repeat.Longest = 980 * mm
	if e, _ := errors.AsType[*FileError](j.Validate()); len(e.Faults) != 2 {
		t.Errorf("a flag doesn't fill in: %v", e)
	}
}

// The turn that a winding needs is plain geometry: after an odd number of
// windings the edge against the travel leads.
func TestWindingDecidesTheTurn(t *testing.T) {
	j := goodJob()
	j.Winding = topOut
	j.Press, _ = ParsePress("press.yaml", []byte(fullPress))
	for windings, want := range map[int]geometry.Turn{0: geometry.Turn0, 1: geometry.Turn180, 2: geometry.Turn0} {
		j.Windings = windings // 0: the press's 2
		if err := j.Validate(); err != nil {
			t.Error(err)
		}
		if got := j.Request().Turns; len(got) != 1 || got[0] != want {
			t.Errorf("%d windings give %v, want %v", windings, got, want)
		}
	}
}
