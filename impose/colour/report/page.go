package report

import (
	_ "embed"
	"html/template"
	"io"
	"sync"

	"quoin/impose/colour"
)

//go:embed page.css
var style string

//go:embed page.html
var page string

//go:embed customer.html
var customer string

var funcs = template.FuncMap{
	"hex": hex, "lab": lab, "number": number,
	"one":    func(v *float64) string { return one(*v) },
	"points": one,
}

var templates = sync.OnceValue(func() *template.Template {
	t := template.Must(template.New("page").Funcs(funcs).Parse(page))
	template.Must(t.New("customer").Parse(customer))
	return t
})

// HTML writes the operator's page.
func HTML(w io.Writer, rep *colour.Report) error {
	return templates().ExecuteTemplate(w, "page", map[string]any{
		"R": rep, "Style": template.CSS(style), "Toned": len(toneChart(rep).lines) > 0, "Tones": toneChart(rep).svg(760, 300),
		"Moved": moved(rep), "Run": runChart(rep).svg(760, 300), "Checks": checksInOrder(rep),
	})
}

// spot is one ink on the customer's page.
type spot struct {
	Ink       colour.InkResult
	Tolerance float64
	Verdict   colour.Verdict
	Ribbon    template.HTML
	Chart     template.HTML
}

// Customer writes the page for the customer: the whole run, spot by spot.
func Customer(w io.Writer, rep *colour.Report) error {
	var spots []spot
	for _, process := range []bool{false, true} { // spots first
		for _, ink := range rep.Inks {
			if ink.Solid == nil || (ink.Kind == "process") != process || ink.Kind == "varnish" {
				continue
			}
			s := spot{Ink: ink, Tolerance: rep.Tolerances.SpotSolid}
			if process {
				s.Tolerance = rep.Tolerances.ProcessSolid
			}
			for _, c := range rep.Checks {
				if c.Number != ink.Solid.Number || c.What != "solid" && c.What != "run" {
					continue
				}
				if c.What == "solid" {
					s.Tolerance = c.Tolerance
				}
				if s.Verdict == "" || c.Verdict.Worse(s.Verdict) {
					s.Verdict = c.Verdict
				}
			}
			c := chart{title: ink.Name + ": difference over the run, dE00", x: "metre of the run", right: runEnd(rep), limit: s.Tolerance}
			c.lines = []line{seriesOf(ink.Name, ink.Solid)}
			s.Chart, s.Ribbon = c.svg(640, 190), ribbon(ink.Solid, c.right)
			spots = append(spots, s)
		}
	}
	return templates().ExecuteTemplate(w, "customer", map[string]any{"R": rep, "Style": template.CSS(style), "Spots": spots, "Moved": moved(rep)})
}
