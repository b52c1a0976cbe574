package deskwalk

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"quoin/impose/witness"
)

// TestDeskNight reads an order list, holds an order back, plans and builds its
// night, and verifies a run that was built: in a real browser.
func TestDeskNight(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("starts a browser and builds a night")
	}
	dir := samplesIn(t)
	fewOrders(t, dir, "000450", "000452", "000453", "000454", "000467", "000468", "000469")
	list, err := os.ReadFile(filepath.Join(dir, "orders.csv"))
	if err != nil {
		t.Fatal(err)
	}
	// One line that can't be read and one whose artwork is missing.
	more := string(list) + "000490,Broken,artwork/orchard-juice.pdf,many\n"
	if err := os.WriteFile(filepath.Join(dir, "orders.csv"), []byte(more), 0o666); err != nil {
		t.Fatal(err)
	}
	d := openDesk(t, dir)
	b := browser(t)
	axe := witness.Axe(t)
	b.enters(d, "nights")
	b.until("the list is there", `document.querySelector('a[href="/night/orders.csv"]')`)
	b.axe(axe, "the nights")
	b.do(chromedp.Navigate("http://" + d.host + "/night/orders.csv?job=job.yaml&dies=dies.yaml&time=100ms"))
	b.until("the broken line is told", `document.body.innerText.includes("000490") && document.body.innerText.includes("left out")`)
	b.look("night-1-read")
	b.axe(axe, "an order list")

	b.do(chromedp.Click(`button.hold[data-key=without][data-order="000467"]`))
	b.until("the order is held back", `document.querySelector('button.hold[data-key=without][data-order="000467"]')?.getAttribute("aria-pressed") === "true" && location.search.includes("without=000467")`)
	b.enter("#plan-night", "the night is planned", `document.querySelectorAll(".plan .run").length > 2`)
	if got := b.says(`document.querySelector(".plan").innerText`); !strings.Contains(got, "000467") || !strings.Contains(got, "held back") {
		t.Errorf("the plan does not say that 000467 is held back: %.300q", got)
	}
	bound := b.says(`document.querySelector(".plan .numbers").innerText`)
	b.do(chromedp.Click(`button.hold[data-key=without][data-order="000450"]`))
	b.until("it is planned again by itself, with another bound", `location.search.includes("without=000450") && !document.querySelector(".stale") && document.querySelector(".plan .numbers")?.innerText.includes("No plan ")`)
	if now := b.says(`document.querySelector(".plan .numbers").innerText`); now == bound {
		t.Errorf("an order less, and the plan is the same: %q", now)
	}
	b.do(chromedp.Click(`button.hold[data-key=without][data-order="000450"]`))
	b.until("the order is back", `!location.search.includes("000450") && !document.querySelector(".stale") && !document.getElementById("build-night").disabled && document.querySelectorAll(".plan .run").length > 2`)
	b.do(chromedp.ScrollIntoView("#planned"))
	b.look("night-2-planned")
	b.axe(axe, "a planned night")

	b.do(chromedp.Click("#build-night"))
	b.within(2*time.Minute, "the night is built", `document.querySelector(".task.done .files li")`)
	if got := b.says(`document.querySelector(".task").innerText`); !strings.Contains(got, "1 order was left out") || !strings.Contains(got, "DRUG LABEL") {
		t.Errorf("the built night does not say what was left out and what to look at: %q", got)
	}
	b.look("night-3-built")
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(path, "verify", "run-001.pdf", "run-001.json")
	cmd.Dir = filepath.Join(dir, "out", "orders-night")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Errorf("the first run is not as planned: %v\n%s", err, out)
	}
}

// TestDeskRecords shows records on the label, finds the longest, and says where a
// record that can't be printed stands.
func TestDeskRecords(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("starts a browser")
	}
	dir := samplesIn(t)
	text, err := os.ReadFile(filepath.Join(dir, "numbered.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	named := strings.Replace(string(text), "  count: 33000\n", "  file: codes.csv\n", 1)
	named = strings.Replace(named, `value: "{number}"`, `value: "{code}"`, 1)
	for name, data := range map[string]string{
		"coded.yaml": named,
		"codes.csv":  "code\nA1\nLONGER\nB2\n",
		"other.csv":  "code\nA1\nB2\nBAD漢\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(data), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	d := openDesk(t, dir)
	b := browser(t)
	b.enters(d, "records/coded.yaml")
	const drawn = `document.getElementById("record-picture")?.naturalWidth > 300`
	b.until("the first record is drawn", drawn)
	b.look("records-1")
	b.axe(witness.Axe(t), "records")
	if got := b.says(`document.querySelector("main").innerText`); !strings.Contains(got, "LONGER") {
		t.Errorf("the longest code is not shown: %q", got)
	}
	b.do(chromedp.Click(`table a`))
	b.until("its record is shown", `document.getElementById("record")?.value === "2" && `+drawn)
	b.look("records-2-longest")
	b.sets("data-file", "other.csv")
	b.until("the fault is told with its line", `document.querySelector("main")?.innerText.includes("line 4")`)
	b.look("records-3-fault")
	changed, err := os.ReadFile(filepath.Join(dir, "coded.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if want := strings.Replace(named, "file: codes.csv", "file: other.csv", 1); string(changed) != want {
		t.Errorf("the job file is not the same but for its data: %s", changed)
	}
}

// TestDeskStock edits a press file: a fault is told with its line and not saved,
// what is right is saved to the byte, and the later of two is asked.
func TestDeskStock(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("starts a browser")
	}
	dir := samplesIn(t)
	press := filepath.Join(dir, "press.yaml")
	before, err := os.ReadFile(press)
	if err != nil {
		t.Fatal(err)
	}
	d := openDesk(t, dir)
	b := browser(t)
	b.enters(d, "stock/press.yaml")
	b.until("the file is shown", `document.getElementById("stock-text")?.value.includes("web-max")`)
	b.axe(witness.Axe(t), "a press file")
	set := func(from, to string) {
		b.do(chromedp.Evaluate(`(() => { const a = document.getElementById("stock-text"); a.value = a.value.replace("`+from+`", "`+to+`"); })()`, nil),
			chromedp.Click("#stockfile button"))
	}
	set("run-waste: 3%", "run-waste: lots")
	b.until("the fault is told", `document.querySelector("#stock-says [data-line]")`)
	b.look("stock-fault")
	if now, _ := os.ReadFile(press); string(now) != string(before) {
		t.Error("a file with a fault was saved")
	}
	set("run-waste: lots", "run-waste: 4%")
	b.until("it is saved", `document.querySelector("#stock-says .written")`)
	want := strings.Replace(string(before), "run-waste: 3%", "run-waste: 4%", 1)
	if now, _ := os.ReadFile(press); string(now) != want {
		t.Errorf("saved is\n%s\nwant\n%s", now, want)
	}
	if err := os.WriteFile(press, before, 0o666); err != nil {
		t.Fatal(err)
	}
	set("run-waste: 4%", "run-waste: 5%")
	b.until("the other's change is seen", `document.getElementById("stock-says").innerText.includes("somebody else")`)
	if now, _ := os.ReadFile(press); string(now) != string(before) {
		t.Error("somebody else's change is lost")
	}
}

// TestDeskMaterials changes what a press file says of materials: one value, a line
// more and a line less; the rest of the file keeps its bytes, and what the file's
// checks refuse is not saved.
func TestDeskMaterials(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("starts a browser")
	}
	dir := samplesIn(t)
	press := filepath.Join(dir, "press.yaml")
	read := func() string {
		t.Helper()
		text, err := os.ReadFile(press)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	before := read()
	d := openDesk(t, dir)
	b := browser(t)
	b.enters(d, "materials")
	const of = `document.querySelector('section[data-path="press.yaml"]')`
	set := func(selector, value string) {
		t.Helper()
		b.do(chromedp.Evaluate(`((i) => { i.value = "`+value+`"; i.dispatchEvent(new Event("change", { bubbles: true })); })(`+of+`.querySelector('`+selector+`'))`, nil))
	}
	b.until("the materials are there", of+`.querySelectorAll("input[data-key]").length >= 6`)
	b.look("materials-1")
	b.axe(witness.Axe(t), "materials")
	set(`[data-key="finishing.stripping[1].warn"]`, "little")
	b.until("the fault is told", of+`.querySelector(".mat-says .say")`)
	b.look("materials-2-fault")
	if read() != before {
		t.Error("a value with a fault was saved")
	}
	set(`[data-key="finishing.stripping[1].warn"]`, "3.5mm")
	b.until("it is saved", of+`.querySelector(".mat-says .written")`)
	want := strings.Replace(before, "{material: film, refuse: 2mm, warn: 3mm}", "{material: film, refuse: 2mm, warn: 3.5mm}", 1)
	if got := read(); got != want || want == before {
		t.Errorf("more than the value has changed: %s", got)
	}
	set(`[data-add="finishing.stripping"] [data-col=material]`, "foil")
	set(`[data-add="finishing.stripping"] [data-col=refuse]`, "2.5mm")
	set(`[data-add="finishing.stripping"] [data-col=warn]`, "4mm")
	b.do(chromedp.Click(`section[data-path="press.yaml"] [data-add="finishing.stripping"] button`))
	b.until("the line is there", of+`.querySelector('[data-key="finishing.stripping[2].material"]')?.value === "foil"`)
	b.do(chromedp.Click(`section[data-path="press.yaml"] [data-drop="finishing.stripping[2]"]`))
	b.until("the line is gone", `!`+of+`.querySelector('[data-key="finishing.stripping[2].material"]')`)
	if got := read(); got != want {
		t.Errorf("the line left something: %s", got)
	}
	if code, _ := d.ask("POST", "/materials/press.yaml", `{"base":"0","set":[{"key":"web-max","value":"1m"}]}`); code != 400 {
		t.Errorf("what is no material was changed: %d", code)
	}
	if code, _ := d.ask("POST", "/materials/press.yaml", `{"base":"0","set":[{"key":"finishing.stripping[0].warn","value":"9mm"}]}`); code != 409 {
		t.Errorf("another's change was overwritten: %d", code)
	}
}
