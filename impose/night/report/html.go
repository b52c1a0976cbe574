package report

import (
	"cmp"
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
		"lateInAll": LateInAll, "daysKept": DaysKept, "lateDays": lateDays, "overtime": func(run plan.Run) string { return overtime(&run) },
		"many":      func(n int) bool { return n > mostLate },
		"replanned": replanned,
		"paid":      func(p *plan.Plan, run plan.Run) []string { return paid(p, &run) },
		"plus":      plus, "findings": looked, "line": func(f Finding) string { return f.line() },
		"tools": tools, "clock": clock,
		"glance": Glance, "pinned": Pinned, "shown": shown, "useless": useless, "lanes": lanes, "picture": picture, "seen": seen,
	}).Parse(reportText))
})

// HTML writes the report as one page that needs nothing else: no script, no
// font, and no picture but those of the labels, which lie beside it.
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
	Labels  []label
	WidthMM float64 // of its label, where lanes differ; 0 where not
}

// lanes returns what each lane of a run carries, from the left.
func lanes(p *plan.Plan, run plan.Run) []lane {
	list := make([]lane, run.Lanes)
	station, perLane := int64(0), int64(run.Rows)
	for i := range list {
		list[i].Number = i + 1
	}
	for i, s := range run.Orders {
		for left := s.Stations; left > 0; {
			at := &list[station/perLane]
			take := min(left, perLane-station%perLane)
			at.Orders = append(at.Orders, s.Order)
			if l := picture(run, i); l != nil {
				at.Labels = append(at.Labels, *l)
			}
			if s.LabelMM != nil {
				at.WidthMM = s.LabelMM[p.Groups[run.Group-1].TurnDeg/90%2]
			}
			station, left = station+take, left-take
		}
	}
	return list
}

// label is where an order's label is seen: in the picture that a run's labels share,
// so much of the way to its right end.
type label struct {
	Path    string
	Percent string
	Name    string
}

// picture returns where the label of a run's order i is seen; nil where no labels
// were drawn.
func picture(run plan.Run, i int) *label {
	for _, f := range run.Files {
		if f.Role == "labels" {
			return &label{f.Path, say.Fixed(100*float64(i)/float64(max(1, len(run.Orders)-1)), 3), cmp.Or(run.Orders[i].Product, run.Orders[i].Order)}
		}
	}
	return nil
}

// seen reports whether the labels of a run were drawn.
func seen(run plan.Run) bool { return len(run.Orders) > 0 && picture(run, 0) != nil }
