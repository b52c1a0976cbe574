package serve

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io/fs"
	"net/http"
	"path/filepath"
	"slices"
	"strings"

	"quoin/impose/desk/folder"
	night "quoin/impose/night/plan"
	"quoin/impose/say"
)

// planView is a planned night.
type planView struct {
	Schema string      `json:"schema"` // quoin/desk/night-plan/1
	Path   string      `json:"path"`
	Plan   *night.Plan `json:"plan"`
}

// Pins lists what the planner asked for of several orders.
func (v planView) Pins() []pinView {
	list := []pinView{}
	for _, set := range v.Plan.Pins.Together {
		list = append(list, pinView{Key: "together", Orders: set})
	}
	for _, set := range v.Plan.Pins.Apart {
		list = append(list, pinView{Key: "apart", Orders: set})
	}
	return list
}

// money says an amount of a plan's.
func money(p *night.Plan, amount *int64) string {
	return say.Fixed(float64(*amount)*p.MoneyUnit, 2) + " " + p.Currency
}

// Picture draws a run's lanes.
func (v planView) Picture(r night.Run) string { return lanesOf(r) }

// getPlan returns the plan that was made last with these settings.
func (s *nightRoom) getPlan(_ http.ResponseWriter, r *http.Request) (*page, error) {
	at := r.PathValue("path")
	p, ok := s.plans.get(planKey(s.key(at), settingsOf(r.URL.Query())))
	if !ok {
		return nil, fs.ErrNotExist
	}
	return shown("plan.html", planView{"quoin/desk/night-plan/1", at, p})
}

// key names an order list as it stands: another content is another night.
func (s *nightRoom) key(at string) string {
	return at + " " + s.Folder.Sum(filepath.Join(s.Folder.Path, filepath.FromSlash(at)))
}

// keptPlans bounds the nights that are kept as they were planned last: a plan of a
// thousand orders holds some megabytes.
const keptPlans = 8

// planKey names a plan by what it was made from.
func planKey(list string, n settings) string {
	data, _ := json.Marshal(n) // plain values only
	return list + "\n" + string(data)
}

// postPlan plans a night in a process of its own, which can be stopped.
func (s *nightRoom) postPlan(r *http.Request, n settings) (*page, error) {
	key := s.key(r.PathValue("path")) // as the list stands before it is read
	return s.begin(r, n, "plan", func(v *nightView, ctx context.Context, args []string, step func(string)) ([]File, []string, error) {
		var out bytes.Buffer
		if words, err := s.run(ctx, append(args, "--json", "--live"), &out, step); err != nil {
			return nil, words, err
		}
		p := &night.Plan{}
		if err := json.Unmarshal(out.Bytes(), p); err != nil {
			return nil, nil, fmt.Errorf("the plan could not be read: %w", err)
		}
		s.plans.put(planKey(key, v.Settings), p)
		return nil, nil, nil // what is to be said of it stands in the plan
	})
}

// postBuild builds a night's folder.
func (s *nightRoom) postBuild(r *http.Request, n settings) (*page, error) {
	return s.begin(r, n, "build", func(v *nightView, ctx context.Context, args []string, step func(string)) ([]File, []string, error) {
		if err := s.Folder.Make(folder.Outputs); err != nil {
			return nil, nil, err
		}
		words, err := s.run(ctx, append(args, "--verbose", "--live"), nil, step)
		if err != nil {
			return nil, words, err
		}
		files, err := s.files(v.Out)
		return files, words, err
	})
}

// begin begins a task on an order list.
func (s *nightRoom) begin(r *http.Request, n settings, what string, do func(*nightView, context.Context, []string, func(string)) ([]File, []string, error)) (*page, error) {
	v, err := s.of(r.PathValue("path"), n)
	if err != nil {
		return nil, err
	}
	out := ""
	if what == "build" {
		out = v.Out
	}
	args := n.args(v.Path, out)
	one := Task{Job: v.Path, What: what, Command: append([]string{"quoin"}, args...)}
	t, err := s.tasks.begin(s.ctx, one, s.hub.toldOf, func(ctx context.Context, step func(string)) ([]File, []string, error) {
		return do(v, ctx, args, step)
	})
	if err != nil {
		return nil, err
	}
	return &page{http.StatusAccepted, "task.html", taskView{"quoin/desk/task/1", t}}, nil
}

// files lists what a built night holds: the report first, then the runs.
func (s *nightRoom) files(out string) ([]File, error) {
	abs, err := s.Folder.Abs(out)
	if err != nil {
		return nil, err
	}
	found, err := filepath.Glob(filepath.Join(abs, "*"))
	if err != nil {
		return nil, err
	}
	var files []File
	for _, f := range found {
		name := filepath.Base(f)
		role := map[bool]string{true: "Report", false: "Run"}[strings.HasPrefix(name, "report")]
		if strings.HasSuffix(name, "-sheet.pdf") {
			role = "Job sheet"
		}
		if ext := filepath.Ext(name); ext == ".pdf" || ext == ".html" {
			files = append(files, File{role, out + "/" + name})
		}
	}
	order := []string{"Report", "Run", "Job sheet"}
	slices.SortStableFunc(files, func(a, b File) int { return slices.Index(order, a.Role) - slices.Index(order, b.Role) })
	return files, nil
}
