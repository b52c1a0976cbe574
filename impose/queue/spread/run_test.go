package spread

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"quoin/impose/alike"
	"quoin/impose/job"
	"quoin/impose/night/build"
	"quoin/impose/queue/task"
	"quoin/impose/queue/work"
	"quoin/impose/raster"
	"quoin/impose/wholefile"
)

// runTask is a run of the worked job whose labels are compared, and where its
// contents lie.
func runTask(t *testing.T) (*task.Task, map[string]string) {
	t.Helper()
	j, err := job.Houses(nil).ReadJob("../../../samples/job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	in := runInput{Name: "run-1", Remarks: make([]string, len(j.Artworks)), Paper: "a4", NoProof: true, Alike: true}
	if in.Job, err = j.Pack(); err != nil {
		t.Fatal(err)
	}
	one := &task.Task{Kind: task.Run, Files: map[string]string{}}
	if one.Input, err = json.Marshal(in); err != nil {
		t.Fatal(err)
	}
	files, _ := Contents(j)
	lies := map[string]string{}
	for _, f := range files {
		sum, err := wholefile.SHA256(f.Path)
		if err != nil {
			t.Fatal(err)
		}
		one.Files[f.Name], lies[sum] = sum, f.Path
	}
	return one, lies
}

// TestRendererOfAWorkerIsNotTheWorks: a renderer that does not start fails the
// piece at every try, as another worker may have a better one; one that fails over
// a label does so until the last try, and then the labels are not compared, as they
// would not be here.
func TestRendererOfAWorkerIsNotTheWorks(t *testing.T) {
	one, lies := runTask(t)
	for _, c := range []struct {
		at   string
		last bool
		want string // in the error; "" for a run whose labels are not compared
	}{
		{"starting the picture renderer", false, "starting"}, {"starting the picture renderer", true, "starting"},
		{"drawing a plate", false, "plate"}, {"drawing a plate", true, ""},
	} {
		f := alike.New()
		f.Start = func(context.Context) (*raster.Renderer, error) {
			return nil, &raster.Error{At: c.at, Err: errors.New("no memory")}
		}
		do := Do(nil, build.Look{Alike: f})
		a, err := do(work.WithLast(t.Context(), c.last), one, lies, t.TempDir())
		switch {
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%+v: %+v, %v", c, a, err)
		case c.want == "" && (err != nil || a.Refusal != nil || len(a.Files) != 3):
			t.Errorf("%+v: %+v, %v", c, a, err)
		}
	}
}
