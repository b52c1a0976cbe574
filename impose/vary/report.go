package vary

import (
	"fmt"
	"io"
	"strings"

	"quoin/geometry"
	"quoin/impose/say"
)

// Report is what a run of variable data says of itself.
type Report struct {
	Schema     string         `json:"schema"`
	Records    int64          `json:"records"` // of the job
	Labels     int64          `json:"labels"`  // that carry a record
	Frames     int64          `json:"frames"`
	EachFrame  int            `json:"labels_per_frame"`
	Spare      int64          `json:"spare_stations"`
	SpareFrame int64          `json:"spare_frame,omitempty"`      // the first that has them; the first is 1; 0: none
	SpareEnd   int64          `json:"spare_frame_last,omitempty"` // where there are more
	LastFirst  bool           `json:"first_record_printed_last"`
	PerRoll    int64          `json:"labels_per_roll,omitempty"`    // 0: each lane is one roll
	Rolls      int64          `json:"rolls"`                        // of all lanes
	Wound      string         `json:"rolls_count_from"`             // in words: which roll is 1
	Changes    int64          `json:"change_over_labels,omitempty"` // between rolls, of all lanes
	ChangeM    float64        `json:"change_over_m,omitempty"`      // of web that they take of each lane
	Parts      []ReportedPart `json:"parts"`
}

// ReportedPart is a part with what became of it.
type ReportedPart struct {
	Part
	Before bool `json:"written_before"`
	Gone   bool `json:"no_longer_there"`
}

// rollsCount says what the numbers of rolls mean.
const rollsCount = "the one wound first, which has the last records of its lane"

// Report tells of the run, of the records of its job and of the parts written.
func (r *Run) Report(records int64, parts []Part) *Report {
	o := &r.Order
	out := &Report{
		Schema: "quoin-vary-1", Records: records, Labels: o.Records, Frames: o.Frames(), EachFrame: len(o.Lanes) * o.Rows,
		Spare: o.Spare(), LastFirst: o.LastFirst, Parts: []ReportedPart{},
	}
	out.PerRoll, out.Wound = o.PerRoll, rollsCount
	for lane := range o.Lanes {
		out.Rolls += o.Rolls(lane)
	}
	if out.Spare > 0 {
		first, end := o.SpareFrames()
		if out.SpareFrame = first + 1; end > out.SpareFrame {
			out.SpareEnd = end
		}
	}
	if out.Changes = o.Changes(); out.Changes > 0 {
		out.ChangeM = (geometry.Length(o.changed(o.fullest())) * r.plan.Layout.Repeat / geometry.Length(o.Rows)).Metres()
	}
	for _, p := range parts {
		out.Parts = append(out.Parts, ReportedPart{p, p.Before, p.Gone})
	}
	return out
}

// Text writes the report for people.
func (r *Report) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Records    %s in the data, %s printed\n", say.Number(r.Records), say.Number(r.Labels))
	fmt.Fprintf(&b, "Frames     %s, with %s each\n", say.Number(r.Frames), say.CountOf(r.EachFrame, "label", "labels"))
	if r.LastFirst {
		b.WriteString("Order      the first record is printed last: the roll comes off from its last label\n")
	} else {
		b.WriteString("Order      the first record is printed first: the roll is wound twice or another even number of times\n")
	}
	if r.PerRoll > 0 {
		fmt.Fprintf(&b, "Rolls      %s, with %s each but the last of a lane; roll 1 is %s\n", say.Number(r.Rolls), say.CountOf(r.PerRoll, "label", "labels"), r.Wound)
	}
	if r.Changes > 0 {
		fmt.Fprintf(&b, "Changes    %s between rolls, which carry no record; %s m of web in each lane\n", say.CountOf(r.Changes, "change-over label", "change-over labels"), say.Fixed(r.ChangeM, 2))
	}
	switch {
	case r.SpareEnd > 0:
		fmt.Fprintf(&b, "Spare      %s of frames %s to %s\n", say.CountOf(r.Spare, "station", "stations"), say.Number(r.SpareFrame), say.Number(r.SpareEnd))
	case r.Spare > 0:
		fmt.Fprintf(&b, "Spare      %s of frame %s\n", say.CountOf(r.Spare, "station", "stations"), say.Number(r.SpareFrame))
	}
	for _, p := range r.Parts {
		state := ""
		switch {
		case p.Gone:
			state = "; written before, no longer there"
		case p.Before:
			state = "; written before"
		}
		fmt.Fprintf(&b, "Part %-5d %s, frames %s to %s, %s bytes; ledger %s%s\n", p.Number, p.File, say.Number(p.First), say.Number(p.First+p.Frames-1), say.Number(p.Bytes), p.Ledger, state)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
