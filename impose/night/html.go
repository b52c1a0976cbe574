package night

import (
	_ "embed"
	"html/template"
	"io"
	"strings"
	"sync"

	"quoin/impose/say"
)

//go:embed report.html.tmpl
var reportText string

var report = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("report").Funcs(template.FuncMap{
		"thousands": say.Number[int64],
		"fixed":     say.Fixed,
		"count":     say.Count[int],
		"count64":   say.Count[int64],
		"gap":       gap,
		"sized":     sized,
		"title":     say.Title,
		"together":  Together,
		"blank":     func(run Run) string { return strings.TrimPrefix(blank(&run), ", ") },
		"join":      func(list []string) string { return strings.Join(list, ", ") },
		"what":      func(p *Plan, run Run) string { return p.what(&run) },
	}).Parse(reportText))
})

// HTML writes the report as one page that needs nothing else: no script, no
// font, no picture from elsewhere.
func (p *Plan) HTML(w io.Writer) error { return report().Execute(w, p) }

// Lane is one lane of a run's picture.
type Lane struct {
	Number  int
	Orders  []string
	WidthMM float64 // of its label, where lanes differ; 0 where not
}

// LaneMap gives what each lane carries, from the left.
func (r Run) LaneMap() []Lane {
	lanes := make([]Lane, r.Lanes)
	station, perLane := int64(0), int64(r.Rows)
	for i := range lanes {
		lanes[i].Number = i + 1
	}
	for _, s := range r.Orders {
		for left := s.Stations; left > 0; {
			lane := &lanes[station/perLane]
			take := min(left, perLane-station%perLane)
			lane.Orders = append(lane.Orders, s.Order)
			if s.LabelMM != nil {
				lane.WidthMM = s.order.forme.layout.Label.Across.MM()
			}
			station, left = station+take, left-take
		}
	}
	return lanes
}
