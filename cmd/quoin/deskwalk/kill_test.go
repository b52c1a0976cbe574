package deskwalk

import (
	"encoding/json"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"quoin/impose/witness/schemas"
)

// TestDeskKilled kills the desk in the middle of a write: what is there is whole,
// the job file says what it said, and a new desk goes on.
func TestDeskKilled(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("writes a press file")
	}
	dir := samplesIn(t)
	before, err := os.ReadFile(filepath.Join(dir, "job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	d := openDesk(t, dir)
	code, text := d.ask("POST", "/write/job.yaml", `{}`)
	if code != http.StatusAccepted {
		t.Fatalf("%d %s", code, text)
	}
	time.Sleep(150 * time.Millisecond)
	d.cmd.Process.Kill()
	<-d.ended
	d.ended = nil
	time.Sleep(3 * time.Second) // its command is asked to end, and does, later on a busy machine
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
		if half, _ := filepath.Glob(filepath.Join(dir, "out", ".*")); len(half) == 0 {
			break
		}
	}
	filepath.WalkDir(filepath.Join(dir, "out"), func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return nil
		}
		if strings.HasPrefix(e.Name(), ".") {
			t.Errorf("%s is left half-made", path)
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Error(err)
		}
		switch filepath.Ext(path) {
		case ".pdf":
			if !strings.HasSuffix(strings.TrimSpace(string(data)), "%%EOF") {
				t.Errorf("%s is half a PDF", path)
			}
		case ".json":
			if !json.Valid(data) {
				t.Errorf("%s is half a JSON file", path)
			}
		}
		return nil
	})
	if after, err := os.ReadFile(filepath.Join(dir, "job.yaml")); err != nil || string(after) != string(before) {
		t.Errorf("the job file has changed (%v)", err)
	}
	again := openDesk(t, dir)
	if code, text := again.ask("GET", "/card/job.yaml", ""); code != 200 || strings.Contains(text, `"state": "written"`) {
		t.Errorf("a stopped write counts as one: %d %s", code, text)
	}
	var task struct{ ID, State string }
	if code, text = again.ask("POST", "/write/job.yaml", `{"parts":["ticket"]}`); code != http.StatusAccepted {
		t.Fatalf("%d %s", code, text)
	}
	if err := json.Unmarshal([]byte(text), &task); err != nil {
		t.Fatal(err)
	}
	for i := 0; task.State != "done" && i < 600; i++ {
		time.Sleep(100 * time.Millisecond)
		if _, text = again.ask("GET", "/task/"+task.ID, ""); json.Unmarshal([]byte(text), &task) != nil || task.State == "failed" {
			t.Fatal(text)
		}
	}
	if _, text := again.ask("GET", "/card/job.yaml", ""); !strings.Contains(text, `"state": "written"`) {
		t.Errorf("what was written does not show: %s", text)
	}
}

// TestDeskAnswersBySchema holds every kind of answer against the published schema,
// and keys that scripts rest on.
func TestDeskAnswersBySchema(t *testing.T) {
	t.Parallel()
	dir := samplesIn(t)
	put(t, filepath.Join(dir, "house.yaml"), "press: press.yaml\nweb: 340mm\n")
	put(t, filepath.Join(dir, "housed.yaml"), "inks: {technical: [Cutting]}\nartworks: [{file: artwork/orchard-juice.pdf, quantity: 100}]\n")
	d := openDesk(t, dir)
	_, schema := d.ask("GET", "/schema", "")
	check := deskSchema(t, schema)
	for _, path := range []string{"/jobs", "/", "/card/job.yaml", "/job/job.yaml", "/dies/job.yaml", "/write/job.yaml", "/job/none.yaml"} {
		code, text := d.ask("GET", path, "")
		if code != 200 && path != "/job/none.yaml" {
			t.Errorf("%s: %d", path, code)
		}
		check(path, text)
	}
	for _, path := range []string{"/nights", "/night/orders.csv?job=job.yaml&dies=dies.yaml", "/night/orders.csv?together=000450,000451&apart=000450,000452&take_out=000467&without=000466&apart=x", "/night/orders-export.csv", "/records/numbered.yaml", "/records/numbered.yaml?record=200",
		"/records/job.yaml", "/stock", "/materials", "/stock/press.yaml", "/stock/dies.csv", "/stock/house/house.yaml", "/job/housed.yaml", "/again/job.yaml?with=artwork/case-label.pdf",
		"/look/job.yaml"} {
		code, text := d.ask("GET", path, "")
		if code != 200 {
			t.Errorf("%s: %d %.200s", path, code, text)
		}
		check(path, text)
	}
	_, text := d.ask("GET", "/again/job.yaml?with=artwork/case-label.pdf", "")
	if !strings.Contains(text, `"code": "trim"`) || !strings.Contains(text, "is not the label of") {
		t.Errorf("what the new artwork says otherwise is missing: %.600s", text)
	}
	if code, _ := d.ask("GET", "/again/job.yaml?with=artwork/none.pdf", ""); code != 404 {
		t.Errorf("an artwork that is not there: %d", code)
	}
	_, text = d.ask("GET", "/stock/press.yaml", "")
	press := values(t, text)
	for name, body := range map[string]map[string]string{
		"a press with a fault": {"base": press["version"].(string), "text": "web-max: lots\n"}, "a press that changed": {"base": "0", "text": press["text"].(string)},
	} {
		data, _ := json.Marshal(body)
		code, text := d.ask("POST", "/stock/press.yaml", string(data))
		if code != 422 && code != 409 {
			t.Errorf("%s: %d", name, code)
		}
		check(name, text)
	}
	_, text = d.ask("POST", "/night-plan/orders.csv", `{"job":"job.yaml","dies":"dies.yaml","time":"100ms"}`)
	check("a night that is planned", text)
	d.await(text)
	_, text = d.ask("GET", "/night-plan/orders.csv?job=job.yaml&dies=dies.yaml&time=100ms", "")
	check("a planned night", text)
	_, text = d.ask("POST", "/night-plan/orders.csv", `{"job":"job.yaml","together":["000454,000463"],"take_out":["000467"]}`)
	text = d.await(text)
	check("the task of a pinned night", text)
	if !strings.Contains(text, `"standing"`) {
		t.Errorf("the task does not say how good the plan was: %.600s", text)
	}
	_, text = d.ask("GET", "/night-plan/orders.csv?job=job.yaml&together=000454,000463&take_out=000467", "")
	check("a pinned night", text)
	if !strings.Contains(text, `"with"`) {
		t.Errorf("the pinned night does not say who is with whom: %.600s", text)
	}
	_, text = d.ask("GET", "/night-plan/orders.csv?job=job.yaml&dies=dies.yaml&time=100ms", "")
	list, err := os.ReadFile(filepath.Join(dir, "orders.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { // another list is another night
		put(t, filepath.Join(dir, "orders.csv"), string(list)+"\n")
		if code, _ := d.ask("GET", "/night-plan/orders.csv?job=job.yaml&dies=dies.yaml&time=100ms", ""); code != 404 {
			t.Errorf("the plan of a list that has changed is given: %d", code)
		}
	}()
	if !strings.Contains(text, "quoin/desk/night-plan/1") {
		t.Errorf("there is no plan: %.300s", text)
	}
	_, text = d.ask("POST", "/change/job.yaml", `{"base":"0","set":[{"key":"bleed","value":"1"}]}`)
	check("a conflict", text)
	_, text = d.ask("POST", "/copy/job.yaml", `{}`)
	check("a copy", text)
	if code, _ := d.ask("GET", "/job/job-2.yaml", ""); code != 200 {
		t.Errorf("the copy is not there: %d", code)
	}
}

// deskSchema gives a check of answers against the desk's schema.
func deskSchema(t *testing.T, schema string) func(name, text string) {
	s := schemas.Schema(t, []byte(schema))
	return func(name, text string) {
		t.Helper()
		var doc any
		if err := json.Unmarshal([]byte(text), &doc); err != nil {
			t.Errorf("%s: %v: %.200s", name, err, text)
		} else if err := s.Validate(doc); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}
