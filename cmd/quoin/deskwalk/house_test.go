package deskwalk

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"
)

// put writes a file, and its folder.
func put(t testing.TB, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// written writes a job and gives its summary, as the file has it.
func (d *desk) written(dir, job string) map[string]any {
	d.t.Helper()
	code, text := d.ask("POST", "/write/"+job, `{"parts":["summary"]}`)
	if code != 202 {
		d.t.Fatalf("%d %s", code, text)
	}
	d.await(text)
	data, err := os.ReadFile(filepath.Join(dir, "out", strings.TrimSuffix(job, ".yaml")+".json"))
	if err != nil {
		d.t.Fatal(err)
	}
	return values(d.t, string(data))
}

// await waits until a task, by its answer, is done.
func (d *desk) await(text string) string {
	d.t.Helper()
	id, _ := values(d.t, text)["id"].(string)
	for end := time.Now().Add(3 * time.Minute); time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
		_, text = d.ask("GET", "/task/"+id, "")
		switch values(d.t, text)["state"] {
		case "running":
		case "done":
			return text
		default:
			d.t.Fatalf("the task is not done: %s", text)
		}
	}
	d.t.Fatalf("the task does not end: %s", text)
	return ""
}

func values(t testing.TB, text string) map[string]any {
	t.Helper()
	var v map[string]any
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatalf("%v: %.300s", err, text)
	}
	return v
}

// TestDeskHouse: a job that lives on house values is planned on the page exactly as
// the command that the page shows writes it; and it is out of date once the house
// says something else.
func TestDeskHouse(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the user's folder is named by an environment variable on Linux only")
	}
	own := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", own)
	dir := samplesIn(t)
	press, err := os.ReadFile(filepath.Join(dir, "press.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(own, "quoin", "own-press.yaml"), string(press))
	put(t, filepath.Join(own, "quoin", "house.yaml"), "press: own-press.yaml\nweb: 330mm\ngap: 4x4mm\nmaterial: {name: vellum, kind: paper}\n")
	put(t, filepath.Join(dir, "house.yaml"), "gap: 3x3mm\nbleed: 1mm\nframe-max: 500mm\nmarks: {slit: true}\ninks: {technical: [Cutting]}\n")
	put(t, filepath.Join(dir, "housed.yaml"), "artworks: [{file: artwork/orchard-juice.pdf, quantity: 10000}]\n")
	d := openDesk(t, dir)

	_, text := d.ask("GET", "/job/housed.yaml", "")
	shown, _ := values(t, text)["summary"].(map[string]any)
	if shown == nil {
		t.Fatalf("there is no plan: %s", text)
	}
	file := d.written(dir, "housed.yaml")
	if len(shown["house"].([]any)) != 2 {
		t.Errorf("the houses shown are %v", shown["house"])
	}
	for key, want := range file {
		switch key {
		case "files", "written", "output", "page", "pages", "proved": // what only a written one has
			continue
		}
		if !reflect.DeepEqual(shown[key], want) {
			t.Errorf("%s is shown as\n%v\nand written as\n%v", key, shown[key], want)
		}
	}
	if _, page := d.asks("/job/housed.yaml"); !strings.Contains(page, `from house.yaml:1<`) || !strings.Contains(page, "house.yaml gives 5 values") {
		t.Error("the page does not say what the house gives")
	}
	_, stock := d.ask("GET", "/stock", "")
	ownFile, _ := values(t, stock)["own"].(map[string]any)
	if ownFile == nil || ownFile["path"] != filepath.Join(own, "quoin", "house.yaml") || !strings.Contains(ownFile["text"].(string), "vellum") {
		t.Errorf("the user's own house file is not shown: %v", ownFile)
	}
	if _, page := d.asks("/stock"); !strings.Contains(page, "vellum") {
		t.Error("the page does not show the user's own house file")
	}
	state := func() any {
		_, text := d.ask("GET", "/job/housed.yaml", "")
		return values(t, text)["state"].(map[string]any)["state"]
	}
	if got := state(); got != "written" {
		t.Errorf("it is %v, want written", got)
	}
	put(t, filepath.Join(own, "quoin", "house.yaml"), "press: own-press.yaml\nweb: 320mm\ngap: 4x4mm\nmaterial: {name: vellum, kind: paper}\n")
	if got := state(); got != "old" {
		t.Errorf("the house has changed, and it is %v", got)
	}
}

// asks gets a page.
func (d *desk) asks(path string) (int, string) {
	d.t.Helper()
	code, text, _ := d.send(hostile{name: path, method: "GET", path: path, set: map[string]string{"Accept": "text/html"}})
	return code, text
}
