package plan

import (
	"cmp"
	"context"
	"fmt"
	"strconv"
	"strings"

	"quoin/geometry"
	"quoin/impose/desk/edit"
	"quoin/impose/fit"
	"quoin/impose/fit/ask"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// Tools are the ways to run a job: dies, new tools, webs in stock, and no die.
type Tools struct {
	Schema   string      `json:"schema"` // quoin/desk/tools/1
	Version  string      `json:"version"`
	Currency string      `json:"currency,omitempty"`
	Ordered  int64       `json:"ordered"` // 0: metres are for 1,000 labels
	Now      *Option     `json:"now,omitempty"`
	Groups   []ToolGroup `json:"groups"`
	Faults   []Fault     `json:"faults,omitempty"`
	Total    int         `json:"dies"` // in the die room
}

// ToolGroup is ways of one sort, best first.
type ToolGroup struct {
	Title   string   `json:"title"`
	Empty   string   `json:"empty,omitempty"` // what to say where there are none
	Options []Option `json:"options"`
}

// Option is one way to run the job.
type Option struct {
	fit.Layout
	Name  string      `json:"name"`
	Edits []edit.Edit `json:"edits,omitempty"` // that take it; none where it doesn't fit
	Taken bool        `json:"taken"`           // it is the job's
	SVG   string      `json:"svg"`
	// MoreM, MoreMin and More compare with the job as it stands: metres, minutes
	// and money, where they are known.
	MoreM   *float64 `json:"more_m,omitempty"`
	MoreMin *float64 `json:"more_min,omitempty"`
	More    *float64 `json:"more,omitempty"`
}

// mostTools is how many ways of a sort are shown.
const mostTools = 12

// Tools ranks the ways to run the text's job.
func (b *Bench) Tools(ctx context.Context, text []byte) (*Tools, error) {
	now, err := b.Plan(ctx, text)
	if err != nil {
		return nil, err
	}
	t := &Tools{Schema: "quoin/desk/tools/1", Version: now.Version, Groups: []ToolGroup{}, Faults: now.Faults}
	j := now.job
	if j == nil || len(j.Artworks) == 0 {
		return t, nil
	}
	if now.Planned() {
		t.Now = present(now.Summary)
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	free, err := Read(b.folder, b.path, text) // what the job decided is what is asked about
	if err != nil || free == nil {
		return t, nil
	}
	free.Die, free.Lanes, free.Rows = "", 0, 0
	if j.Die != "" || j.Repeat.Teeth > 0 {
		free.Repeat = job.Repeat{}
	}
	asked, err := ask.About(ctx, free, true, 0)
	if err != nil {
		t.Faults = append(t.Faults, Fault{Text: b.folder.Short(err.Error()), Hint: b.folder.Short(say.Hint(err))})
		return t, ctx.Err()
	}
	return t, t.rank(j, asked)
}

// rank asks for each sort.
func (t *Tools) rank(j *job.Job, asked *ask.Asked) error {
	q := asked.Question
	q.All = true
	t.Ordered = q.Wish.Quantity
	if q.Money != nil {
		t.Currency = q.Money.Currency
	}
	fits, near, others := ToolGroup{Title: "Dies that serve", Empty: "no die of the die room serves this label as it is"}, ToolGroup{Title: "Near misses"}, ToolGroup{Title: "Dies that don't"}
	if q.Dies != nil {
		t.Total = len(q.Dies)
		r, err := fit.Answer(q)
		if err != nil {
			return err
		}
		for _, l := range r.Layouts {
			o := t.option(j, l, "Die "+l.Die, edit.Edit{Key: "die", Value: edit.Text(l.Die)})
			switch {
			case l.Fits:
				fits.Options = append(fits.Options, o)
			case l.Near:
				near.Options = append(near.Options, o)
			case len(others.Options) < mostTools:
				others.Options = append(others.Options, o)
			}
		}
		t.add(fits, near)
	}
	q.Dies, q.All = nil, false
	r, err := fit.Answer(q)
	if err != nil {
		return err
	}
	tools, straight, webs := ToolGroup{Title: "New tools", Empty: "the press names no cylinders"}, ToolGroup{Title: "Without a die"}, ToolGroup{Title: "Webs in stock", Empty: "the press names no webs"}
	for _, l := range r.Tools {
		teeth, gear, _ := strings.Cut(l.Cylinder, " teeth, ")
		o := t.option(j, l, "New tool on "+l.Cylinder, edit.Edit{Key: "die"}, edit.Edit{Key: "teeth", Value: teeth}, edit.Edit{Key: "pitch", Value: edit.Text(gear)})
		t.buy(&o, q.Money)
		tools.Options = append(tools.Options, o)
	}
	for _, l := range r.Layouts {
		if l.Fits {
			straight.Options = append(straight.Options, t.option(j, l, "Turned by "+strconv.Itoa(l.TurnDeg)+"°", edit.Edit{Key: "die"}))
		}
	}
	for _, l := range r.Webs {
		webs.Options = append(webs.Options, t.option(j, l, "Web of "+say.MM(l.WebMM), edit.Edit{Key: "web", Value: say.Digits(l.WebMM) + "mm"}))
	}
	t.add(tools, flatTools(t, j, r, q.Money), lasers(t, j, r), webs, straight)
	if len(others.Options) > 0 {
		t.add(others)
	}
	return nil
}

// flatTools is what new tools of the press's flat-bed and semi-rotary stations cut, the
// lanes and rows that their strokes come to in a frame.
func flatTools(t *Tools, j *job.Job, r *fit.Report, money *fit.Money) ToolGroup {
	g := ToolGroup{Title: "New tools, semi-rotary and flat-bed"}
	for _, l := range r.Flat {
		o := t.undriven(j, l, "New "+l.Station+" tool")
		t.buy(&o, money)
		g.Options = append(g.Options, o)
	}
	return g
}

// lasers is what the press's laser cuts with no tool, where it has one.
func lasers(t *Tools, j *job.Job, r *fit.Report) ToolGroup {
	g := ToolGroup{Title: "By laser"}
	for _, l := range r.Least {
		if l.By == "laser" {
			g.Options = append(g.Options, t.undriven(j, l.Layout, "Laser"))
		}
	}
	return g
}

// undriven makes a way of what no cylinder gives a repeat: lanes and rows take it.
func (t *Tools) undriven(j *job.Job, l fit.Layout, name string) Option {
	o := t.option(j, l, name, edit.Edit{Key: "die"},
		edit.Edit{Key: "lanes", Value: strconv.Itoa(l.Across)}, edit.Edit{Key: "rows", Value: strconv.Itoa(l.Around)})
	o.Taken = j.Die == "" && j.Repeat.Teeth == 0 && j.Lanes == l.Across && j.Rows == l.Around
	return o
}

// buy adds the price of a new tool, where it is known.
func (t *Tools) buy(o *Option, money *fit.Money) {
	if money != nil && o.Cost > 0 {
		o.Cost += money.Tools[geometry.StationKind(o.Station)]
		t.compare(o)
	}
}

func (t *Tools) add(groups ...ToolGroup) {
	for _, g := range groups {
		if len(g.Options) == 0 && g.Empty == "" {
			continue
		}
		if len(g.Options) > mostTools {
			g.Options = g.Options[:mostTools]
		}
		t.Groups = append(t.Groups, g)
	}
}

// option makes a way of a layout; edits take it.
func (t *Tools) option(j *job.Job, l fit.Layout, name string, edits ...edit.Edit) Option {
	o := Option{Layout: l, Name: name, SVG: small(j, l)}
	o.Taken = l.Die != "" && l.Die == j.Die || l.Die == "" && edits[0].Key == "web" && l.WebMM == j.WebWidth.MM() ||
		len(edits) == 3 && edits[1].Value == strconv.Itoa(j.Repeat.Teeth)
	if !l.Fits {
		return o
	}
	for _, e := range edits {
		if e.Key == "web" || e.Value != "" || j.Die != "" {
			o.Edits = append(o.Edits, e)
		}
	}
	if edits[0].Key != "web" && j.WebWidth > 0 && l.WebMM != j.WebWidth.MM() {
		o.Edits = append(o.Edits, edit.Edit{Key: "web", Value: say.Digits(l.WebMM) + "mm"})
	}
	if len(j.Turns) > 0 || l.Die == "" && j.Winding == nil {
		o.Edits = append(o.Edits, edit.Edit{Key: "turn", Value: strconv.Itoa(l.TurnDeg)})
	}
	t.compare(&o)
	return o
}

// compare measures an option against the job as it stands.
func (t *Tools) compare(o *Option) {
	if t.Now == nil {
		return
	}
	more := func(a, b float64) *float64 {
		if a == 0 || b == 0 {
			return nil
		}
		d := a - b
		return &d
	}
	o.MoreM, o.MoreMin, o.More = more(o.WebGrossM, t.Now.WebGrossM), more(o.PressMin, t.Now.PressMin), more(o.Cost, t.Now.Cost)
}

// present is the job as it stands.
func present(s *summary.Summary) *Option {
	o := &Option{Name: "As it stands", Taken: true}
	o.WebGrossM, o.PressMin, o.YieldPercent, o.Labels = s.Run.WebGrossM, s.Run.PressMin, s.Run.YieldPercent, s.Layout.Labels
	if th := s.Thousand; th != nil {
		o.WebGrossM, o.PressMin = th.WebM, th.PressMin
	}
	if s.Production != nil && s.Production.Cost != nil && s.Thousand == nil {
		o.Cost = s.Production.Cost.Total
	}
	return o
}

// small draws a layout: the web with its labels.
func small(j *job.Job, l fit.Layout) string {
	wide, long := l.LabelSize(j)
	if l.Across == 0 || l.Around == 0 || l.WebMM == 0 || wide == 0 {
		return ""
	}
	repeat := cmp.Or(l.RepeatMM, float64(l.Around)*(long+l.GapAroundMM))
	var b strings.Builder
	block := geometry.BlockWidth(l.Across, geometry.FromMM(wide), geometry.FromMM(l.GapAcrossMM)).MM()
	left := (l.WebMM - block) / 2
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" aria-hidden="true"><path class="web" d="M0 0h%gv%gh-%gz"/>`, l.WebMM, repeat, l.WebMM, repeat, l.WebMM)
	b.WriteString(`<path class="label" d="`)
	for row := range l.Around {
		for lane := range l.Across {
			x, y := left+float64(lane)*(wide+l.GapAcrossMM), (float64(row)+.5)*repeat/float64(l.Around)-long/2
			fmt.Fprintf(&b, "M%.4g %.5gh%gv%gh-%gz", x, y, wide, long, wide)
		}
	}
	b.WriteString(`"/></svg>`)
	return b.String()
}
