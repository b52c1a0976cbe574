package report

import (
	_ "embed"
	"html/template"
	"io"
	"slices"
	"strings"
	"sync"

	"quoin/impose/night/plan"
	"quoin/impose/say"
)

//go:embed report.html.tmpl
var reportText string

var page = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("report").Funcs(template.FuncMap{
		"thousands": say.Number[int64],
		"fixed":     say.Fixed,
		"count":     say.Count[int],
		"count64":   say.Count[int64],
		"gap":       gap,
		"sized":     func(s plan.Share) string { return after(sized(s)) + after(turned(s)) },
		"title":     say.Title,
		"pixels":    func(run plan.Run) string { return pixels(&run) },
		"together":  together,
		"blank":     func(run plan.Run) string { return blank(&run) },
		"join":      func(list []string) string { return strings.Join(list, ", ") },
		"what":      func(p *plan.Plan, run plan.Run) string { return what(p, &run) },
		"remark":    func(s plan.Share) string { return strings.Join(s.Remarks(), "; ") },
		"amount":    func(p *plan.Plan, money *int64) string { return amount(p, *money) },
		"amountOf":  amount, "percent": percent, "timelines": timelines,
		"someOf":    someOf,
		"replanned": replanned,
		"paid":      func(p *plan.Plan, run plan.Run) []string { return paid(p, &run) },
		"plus":      plus, "findings": looked, "line": func(f Finding) string { return f.line() },
		"tools": tools, "clock": clock,
		"glance": Glance, "pinned": Pinned, "shown": shown, "useless": useless, "lanes": lanes,
	}).Parse(reportText))
})

// HTML writes the report as one page that needs nothing else: no script, no
// font, no picture from elsewhere.
func HTML(w io.Writer, p *plan.Plan) error { return page().Execute(w, p) }

// looked are the findings beside those of orders that are left out, which have a
// list of their own.
func looked(p *plan.Plan) []Finding {
	return slices.DeleteFunc(Findings(p), func(f Finding) bool { return f.LeftOut })
}

// lane is one lane of a run's picture.
type lane struct {
	Number  int
	Orders  []string
	WidthMM float64 // of its label, where lanes differ; 0 where not
}

// lanes returns what each lane of a run carries, from the left.
func lanes(p *plan.Plan, run plan.Run) []lane {
	list := make([]lane, run.Lanes)
	station, perLane := int64(0), int64(run.Rows)
	for i := range list {
		list[i].Number = i + 1
	}
	for _, s := range run.Orders {
		for left := s.Stations; left > 0; {
			at := &list[station/perLane]
			take := min(left, perLane-station%perLane)
			at.Orders = append(at.Orders, s.Order)
			if s.LabelMM != nil {
				at.WidthMM = s.LabelMM[p.Groups[run.Group-1].TurnDeg/90%2]
			}
			station, left = station+take, left-take
		}
	}
	return list
}
