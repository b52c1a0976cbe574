package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// csvColumns are those of CSV: a line for each order of each run. What the run
// takes stands in the line of its first order only, so that a spreadsheet's sums
// are right; its items stand behind.
var csvColumns = []string{
	"run", "press", "start", "end", "material", "web_mm", "die", "frames", "web_m", "press_min", "change_min", "late_min", "run_money",
	"order", "product", "lanes", "labels", "ordered", "overs", "due", "order_money",
}

// CSV writes the runs for a spreadsheet, money with the currency's decimals and times
// as spreadsheets read them.
func CSV(w io.Writer, p *plan.Plan) error {
	out := csv.NewWriter(w)
	head := append([]string{}, csvColumns...)
	for _, part := range p.Total.Parts {
		head = append(head, strings.NewReplacer(" ", "_", "-", "_").Replace(string(part.Item))+"_money")
	}
	out.Write(append(head, "turn_deg"))
	for i := range p.Runs {
		run := &p.Runs[i]
		for k, s := range run.Orders {
			line := []string{run.Name, run.Press, clock(run.Start), clock(run.End), p.Groups[run.Group-1].Material, say.Exact(run.WebMM), run.Die}
			if k == 0 {
				line = append(line, strconv.FormatInt(run.Frames, 10), say.Exact(run.WebGrossM), say.Exact(run.PressMin), say.Exact(run.ChangeMin),
					say.Exact(run.LateMin), p.Amount(run.Money))
			} else {
				line = append(line, "", "", "", "", "", "")
			}
			line = append(line, s.Order, s.Product, strconv.FormatInt(s.Lanes, 10), strconv.FormatInt(s.Labels, 10),
				strconv.FormatInt(s.Ordered, 10), strconv.FormatInt(s.Overs, 10), s.Due, p.Amount(s.Money))
			for _, part := range p.Total.Parts {
				cell := ""
				if k == 0 {
					cell = p.Amount(run.Spent(part.Item))
				}
				line = append(line, cell)
			}
			turn := p.Groups[run.Group-1].TurnDeg
			if s.TurnDeg != nil {
				turn = *s.TurnDeg
			}
			out.Write(append(line, strconv.Itoa(turn)))
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("writing the runs: %w", err)
	}
	return nil
}
