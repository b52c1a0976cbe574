package report

import (
	"cmp"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"quoin/impose/night"
	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// Finding is one thing that a person must look at, however many runs and orders
// have it: a night of a thousand orders says it once.
type Finding struct {
	Code    string   `json:"code"`
	Count   int      `json:"count"` // how often it was found
	Orders  []string `json:"orders"`
	Runs    []string `json:"runs,omitempty"`
	LeftOut bool     `json:"left_out,omitempty"` // the orders are not printed
	Same    bool     `json:"same"`               // all was said in the words of the text; otherwise it is the first's
	Text    string   `json:"text"`
}

// Findings lists what to look at: first what is left out, then what is wrong with
// orders and runs, the most serious first.
func Findings(p *plan.Plan) []Finding {
	c := newCollection()
	for _, n := range p.Unplanned {
		c.add(Finding{Code: n.Code, Orders: []string{n.Order}, LeftOut: true, Text: n.Text})
	}
	for _, n := range p.Notes {
		if n.Warns() {
			c.add(Finding{Code: n.Code, Orders: named(n.Order), Text: n.Text})
		}
	}
	for i := range p.Runs {
		run := &p.Runs[i]
		for _, w := range run.Warnings {
			c.add(Finding{Code: w.Code, Orders: concerned(run, w.Text), Runs: []string{run.Name}, Text: w.Text})
		}
	}
	slices.SortStableFunc(c.list, func(a, b Finding) int {
		if a.LeftOut != b.LeftOut {
			return map[bool]int{true: -1, false: 1}[a.LeftOut]
		}
		return cmp.Compare(night.Rank(a.Code), night.Rank(b.Code))
	})
	return c.list
}

func named(order string) []string {
	if order == "" {
		return []string{}
	}
	return []string{order}
}

// collection puts findings of one kind together.
type collection struct {
	list []Finding
	at   map[string]int // by code and mould
	seen map[string]bool
}

func newCollection() *collection { return &collection{at: map[string]int{}, seen: map[string]bool{}} }

func (c *collection) add(f Finding) {
	f.Count, f.Same = 1, true
	key := f.Code + "\n" + strconv.FormatBool(f.LeftOut) + strconv.FormatBool(f.Runs != nil)
	if !night.OfPlates(f.Code) {
		key += mould(f.Text)
	}
	i, known := c.at[key]
	if !known {
		i = len(c.list)
		c.at[key] = i
		c.list = append(c.list, f)
		c.list[i].Orders = c.fresh(key, f.Orders)
		return
	}
	have := &c.list[i]
	have.Count++
	have.Same = have.Same && have.Text == f.Text
	have.Orders = append(have.Orders, c.fresh(key, f.Orders)...)
	for _, run := range f.Runs {
		if !slices.Contains(have.Runs, run) {
			have.Runs = append(have.Runs, run)
		}
	}
}

// fresh returns those of the orders that a finding doesn't name yet; lines that
// name none stay.
func (c *collection) fresh(key string, orders []string) []string {
	out := []string{}
	for _, o := range orders {
		if at := key + "\n" + o; o == "" || !c.seen[at] {
			c.seen[at] = true
			out = append(out, o)
		}
	}
	return out
}

var (
	quotedText = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`"[^"]*"`) })
	numberText = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`[0-9]+(?:[.,:][0-9]+)*`) })
	severalOf  = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`(product #[^,;()]*)(?:[,;] product #[^,;()]*)+`) })
	severalN   = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`#(?:(?:,| and) #)+`) })
	pathText   = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`\S+\.pdf`) })
	productOf  = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`product ([0-9]+)`) })
)

// mould is what texts have alike that say one thing of several orders: the names
// and numbers of each are left out.
func mould(text string) string {
	text = quotedText().ReplaceAllString(text, "#")
	text = pathText().ReplaceAllString(text, "#")
	text = numberText().ReplaceAllString(text, "#")
	text = severalOf().ReplaceAllString(text, "$1")
	return severalN().ReplaceAllString(text, "#")
}

// concerned returns the orders of a run that a warning is about: those of the
// products that it names, or all.
func concerned(run *plan.Run, text string) []string {
	list := []string{}
	add := func(order string) {
		if !slices.Contains(list, order) {
			list = append(list, order)
		}
	}
	for _, m := range productOf().FindAllStringSubmatch(text, -1) {
		if n, err := strconv.Atoi(m[1]); err == nil && n > 0 && n <= len(run.Orders) {
			add(run.Orders[n-1].Order)
		}
	}
	if len(list) == 0 {
		for _, s := range run.Orders {
			add(s.Order)
		}
	}
	return list
}

// mostNames is how many orders a line names; the plan's JSON has all.
const mostNames = 12

// some lists names, or the first of many.
func some(names []string) string {
	if len(names) > mostNames {
		return strings.Join(names[:mostNames], ", ") + " and " + say.Number(len(names)-mostNames) + " more"
	}
	return say.List(names)
}

// line says a finding in one line.
func (f *Finding) line() string {
	names := slices.DeleteFunc(slices.Clone(f.Orders), func(o string) bool { return o == "" })
	text := f.Text
	switch several := len(f.Runs) > 1 && !f.LeftOut; {
	case several && !f.Same:
		text = "the first, in " + f.Runs[0] + ": " + text
	case !f.Same:
		text = "the first: " + text
	}
	switch {
	case f.LeftOut && len(names) == 0 && f.Count == 1:
		return "a line is left out: " + text
	case f.LeftOut && len(names) == 0:
		return say.Count(f.Count, "line") + " are left out: " + text
	case f.LeftOut && len(names) == 1:
		return "order " + names[0] + " is left out: " + text
	case f.LeftOut && len(names) <= mostNames:
		return "orders " + strings.Join(names, ", ") + " are left out: " + text
	case f.LeftOut:
		return say.Count(len(names), "order") + " are left out, " + some(names) + ": " + text
	case len(f.Runs) == 1:
		return f.Runs[0] + ": " + text
	case len(f.Runs) > 1:
		return say.Count(len(f.Runs), "run") + ", " + orders(names) + ": " + text
	case len(names) < 2:
		return strings.TrimSpace(strings.Join(names, "") + " " + text)
	}
	return orders(names) + ": " + text
}

// orders says how many there are, and which.
func orders(names []string) string {
	if len(names) == 1 {
		return "order " + names[0]
	}
	return say.Count(len(names), "order") + " (" + some(names) + ")"
}

// JSON writes the plan for programs, with what is to be looked at.
func JSON(w io.Writer, p *plan.Plan) error {
	return say.JSON(w, struct {
		*plan.Plan
		Findings []Finding `json:"findings"`
	}{p, append([]Finding{}, Findings(p)...)})
}
