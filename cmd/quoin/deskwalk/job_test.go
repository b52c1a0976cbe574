package deskwalk

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"quoin/geometry/trials"
	"quoin/impose/witness"
)

// TestDeskWalk drops an artwork, changes it, takes a die, writes, and proves what
// was written: the whole way of a job, in a real browser. Axe looks at each view.
func TestDeskWalk(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("starts a browser")
	}
	dir := samplesIn(t)
	art, err := os.ReadFile(filepath.Join(dir, "artwork", "orchard-juice.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	fresh := filepath.Join(t.TempDir(), "quince-cordial.pdf")
	if err := os.WriteFile(fresh, append(art, "\n% another"...), 0o666); err != nil {
		t.Fatal(err)
	}
	d := openDesk(t, dir)
	b := browser(t)
	axe := witness.Axe(t)
	b.do(chromedp.Navigate(d.address))
	b.until("the jobs are planned", `document.querySelectorAll(".card").length === 3 && document.querySelectorAll(".card .state.planned").length === 3`)
	b.until("their frames are drawn", `[...document.querySelectorAll(".card img")].every((i) => i.complete && i.naturalWidth > 0)`)
	b.look("jobs")
	b.axe(axe, "the jobs")
	b.do(chromedp.SendKeys("#find", "cider"))
	b.until("the list is searched", `document.querySelectorAll(".card").length === 1`)

	// The way of a new job: 1. drop, 2. quantity, 3. tools, 4. take, 5. to write, 6. write.
	b.drops(fresh)
	b.until("the job is begun", `document.body.dataset.job === "quince-cordial.yaml" && document.querySelector("#frame .station")`)
	if got := b.number("Web for 1,000"); got == "undefined" {
		t.Error("a job without an order doesn't say what 1,000 labels take")
	}
	if got := b.says(`document.getElementById("v-web").value`); got != "340" {
		t.Errorf("the last web is not proposed, but %q", got)
	}
	b.look("begun")
	b.do(chromedp.SendKeys("#v-artworks-0-quantity", "25000\r"))
	b.until("the order is planned", `document.getElementById("numbers").textContent.includes("Frames")`)
	b.until("the pictures are there", `[...document.querySelectorAll("#frame image")].length && performance.getEntriesByType("resource").filter((e) => e.name.includes("/picture/")).every((e) => e.responseEnd > 0)`)
	b.do(chromedp.Sleep(time.Second))
	b.axe(axe, "one job")
	b.look("job")

	// What a change makes of the numbers is shown from what to what.
	before := b.number("Labels a frame")
	b.do(chromedp.Focus("#v-gap"), chromedp.KeyEvent(kb.ArrowUp))
	b.until("the gap is stepped", `document.getElementById("v-gap").value === "3.1"`) // and sent a moment later, or before the next change
	b.sets("v-lanes", "4")
	b.until("the numbers say from what", `document.querySelector("#numbers").textContent.includes("4 × 12")`)
	if after := b.number("Labels a frame"); after == before || !strings.Contains(after, "from "+before) {
		t.Errorf("fewer lanes: %q, was %q", after, before)
	}
	b.look("changed")

	// What doesn't fit says so in place; a button gives what does.
	b.do(chromedp.Sleep(1300 * time.Millisecond)) // two changes in a row would be one
	b.sets("v-lanes", "9")
	b.until("it does not fit", `document.querySelector(".say.fault .way")`)
	b.look("refused")
	b.axe(axe, "a refused job")
	b.do(chromedp.Click(".way"))
	b.until("the nearest fits", `document.querySelector("#frame .station") && !document.querySelector(".say.fault")`)
	for _, undone := range []string{`document.getElementById("v-lanes").value === "9"`, `document.getElementById("v-lanes").value === "4"`,
		`document.getElementById("v-lanes").value === ""`, `document.getElementById("v-gap").value === "3"`} {
		b.do(chromedp.Click("#undo"))
		b.until("one more is undone", undone)
	}

	// Take a die of the room.
	b.do(chromedp.Navigate("http://" + d.host + "/dies/quince-cordial.yaml"))
	b.until("dies are shown", `document.querySelector(".option")`)
	if b.says(`!!document.querySelector(".room")`) == "true" { // the last job names no die room, the folder has some
		b.do(chromedp.Click(`[data-room="dies.csv"]`))
		b.until("the room is opened", `[...document.querySelectorAll(".option h3")].some((h) => h.textContent === "Die 0102")`)
	}
	b.look("dies")
	b.axe(axe, "the tools")
	b.do(chromedp.Evaluate(`[...document.querySelectorAll(".option")].find((o) => o.querySelector("h3").textContent === "Die 0101").querySelector(".take").click()`, nil))
	b.until("the die is taken", `document.body.dataset.page === "job" && document.getElementById("v-die")?.value === "0101"`)
	b.look("taken")

	b.do(chromedp.Navigate("http://" + d.host + "/look/quince-cordial.yaml"))
	b.until("plates are drawn", `document.querySelector("#look[data-ready]")`)
	b.do(chromedp.Focus("#mix"), chromedp.KeyEvent(kb.ArrowRight))
	if got := b.says(`document.getElementById("tint-4").textContent`); !strings.HasSuffix(got, " %") {
		t.Errorf("the tint under the pointer is %q", got)
	}
	b.look("look")
	b.axe(axe, "the plates")

	b.do(chromedp.Navigate("http://" + d.host + "/again/job.yaml?with=artwork/quince-cordial.pdf"))
	b.until("the difference is drawn", `[...document.querySelectorAll(".both img")].every((i) => i.complete && i.naturalWidth > 0)`)
	b.look("again")
	b.axe(axe, "an old job again")

	b.do(chromedp.Navigate("http://" + d.host + "/write/quince-cordial.yaml"))
	b.until("it can be written", `document.getElementById("go")`)
	b.do(chromedp.Click("#go"))
	b.within(2*time.Minute, "it is written", `document.querySelector(".task.done") && document.querySelector("#bar .state.written")`)
	b.look("written")
	b.axe(axe, "what is written")
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	proof := exec.Command(path, "verify", "out/quince-cordial.pdf", "out/quince-cordial.json")
	proof.Dir = dir
	if out, err := proof.CombinedOutput(); err != nil {
		t.Errorf("what was written is not proved: %v\n%s", err, out)
	}
	text, err := os.ReadFile(filepath.Join(dir, "quince-cordial.yaml"))
	if err != nil || !strings.Contains(string(text), "die: 0101\n") || !strings.Contains(string(text), "quantity: 25000\n") {
		t.Errorf("the job file is\n%s(%v)", text, err)
	}

	// A die that was made anew a little wider makes it old; one whose corners no
	// longer are the label's cuts none of it.
	dies, err := os.ReadFile(filepath.Join(dir, "dies.csv"))
	if err != nil {
		t.Fatal(err)
	}
	const drawer = "0101,,50x75mm,3mm,,6,4,3x4.375mm"
	for _, c := range []struct{ now, state, text, why string }{
		{"0101,,50x75mm,3mm,,6,4,3.2x4.375mm", "old", "Out of date", "the die has changed"},
		{"0101,,50x75mm,2.8mm,,6,4,3x4.375mm", "refused", "Refused", "corners have a radius of 2.8 mm"},
	} {
		ground := strings.Replace(string(dies), drawer, c.now, 1)
		// It appears whole, as from any program that keeps tables: half a file is refused.
		if err := os.WriteFile(filepath.Join(dir, ".dies"), []byte(ground), 0o666); err != nil {
			t.Fatal(err)
		}
		if err := os.Rename(filepath.Join(dir, ".dies"), filepath.Join(dir, "dies.csv")); err != nil {
			t.Fatal(err)
		}
		b.do(chromedp.Navigate("http://" + d.host + "/"))
		b.until("the job is "+c.state, `((card) => card.querySelector(".state.`+c.state+`").textContent === "`+c.text+`" && card.innerText.includes("`+c.why+`"))(document.querySelector("[data-job='quince-cordial.yaml']"))`)
	}
	b.look("old")
}

// TestDeskTwoPages has two pages change one job: whoever comes second is told what
// the first has done, and asked; nothing is lost.
func TestDeskTwoPages(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("starts a browser")
	}
	dir := samplesIn(t)
	was := oneArtwork(t, dir)
	d := openDesk(t, dir)
	one := browser(t)
	one.enters(d, "job/job.yaml")
	two := one.another()
	for _, b := range []tab{one, two} {
		b.do(chromedp.Navigate("http://" + d.host + "/job/job.yaml"))
		b.until("the frame is there", `document.querySelector("#frame .station")`)
	}
	set := func(b tab, id, value string) {
		b.front()
		b.sets(id, value)
	}
	file := func() string {
		text, err := os.ReadFile(filepath.Join(dir, "job.yaml"))
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	set(one, "v-bleed", "1.1")
	one.until("the first change is done", `document.getElementById("bar").dataset.version !== "" && !document.getElementById("undo").disabled`)
	set(two, "v-web", "339")
	two.until("the second is asked", `document.getElementById("asks").open`)
	two.look("asked")
	if told := two.says(`document.querySelector("#asks .body").textContent`); !strings.Contains(told, "bleed") || !strings.Contains(told, "1.1mm") || !strings.Contains(told, "339") {
		t.Errorf("the second is told %q", told)
	}
	if strings.Contains(file(), "339mm") {
		t.Error("the second change was written unasked")
	}
	two.do(chromedp.Click("#asks [value=mine]"))
	two.until("both changes are there", `document.getElementById("v-bleed").value === "1.1" && document.getElementById("v-web").value === "339"`)
	if text := file(); !strings.Contains(text, "bleed: 1.1mm ") || !strings.Contains(text, "web: 339mm\n") {
		t.Errorf("the file is\n%s", text)
	}
	set(one, "v-bleed", "1")
	one.until("the first is asked in turn", `document.getElementById("asks").open`)
	one.do(chromedp.Click("#asks [value=theirs]"))
	one.until("the first shows theirs", `document.getElementById("v-web").value === "339" && document.getElementById("v-bleed").value === "1.1"`)
	one.do(chromedp.Click("#undo")) // which reaches over what the other did
	one.until("the other's change is undone", `document.getElementById("v-web").value === "340"`)
	one.do(chromedp.Click("#undo"))
	one.until("all is undone", `document.getElementById("v-bleed").value === "1.2" && document.getElementById("v-web").value === "340"`)
	if now := file(); now != was {
		t.Errorf("undone, the file is\n%s\nwant\n%s", now, was)
	}
}

// TestDeskByKeys goes the way of a job with the keyboard alone.
func TestDeskByKeys(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("starts a browser")
	}
	dir := samplesIn(t)
	oneArtwork(t, dir)
	d := openDesk(t, dir)
	b := browser(t)
	b.do(chromedp.Navigate(d.address))
	b.until("the jobs are there", `document.querySelectorAll(".card").length === 3`)
	// reach tabs on until a thing has the focus, which must be seen.
	reach := func(what string) {
		t.Helper()
		for range 200 {
			b.do(chromedp.KeyEvent(kb.Tab))
			if b.says(`document.activeElement.matches('`+what+`')`) == "true" {
				if b.says(`(() => { const e = document.activeElement.closest(".button") || document.activeElement; return getComputedStyle(e).outlineStyle !== "none" && parseFloat(getComputedStyle(e).outlineWidth) >= 2; })()`) != "true" {
					t.Errorf("the focus on %s can't be seen", what)
				}
				return
			}
		}
		t.Fatalf("%s is not reached by the keyboard", what)
	}
	reach("#find")
	reach("#pick")
	reach("[data-job=\"job.yaml\"] .name")
	b.do(chromedp.KeyEvent(kb.Enter))
	b.until("the job opens", `document.body.dataset.page === "job" && document.querySelector("#frame .station")`)
	reach("#frame-pane")
	const seen = `document.querySelector("#frame svg").getAttribute("viewBox")`
	whole := b.says(seen)
	b.do(chromedp.KeyEvent("+"))
	closer := b.says(seen)
	b.do(chromedp.KeyEvent(kb.ArrowDown))
	if along := b.says(seen); whole == closer || closer == along {
		t.Error("the keys don't move the frame")
	}
	reach("#v-bleed")
	b.do(chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.ArrowDown))
	b.until("two steps are planned", `document.getElementById("v-bleed").value === "1" && document.getElementById("undo").title.includes("1mm")`)
	if b.says(`document.activeElement.id`) != "v-bleed" {
		t.Error("a change takes the focus away")
	}
	b.do(chromedp.KeyEvent("z", chromedp.KeyModifiers(2)))
	b.until("one undo takes both steps back", `document.getElementById("undo").disabled`)
	reach("summary")
	b.do(chromedp.KeyEvent(kb.Enter))
	b.until("what is folded opens", `document.querySelector("#values details[open]")`)
	b.do(chromedp.Navigate("http://" + d.host + "/write/job.yaml"))
	b.until("it can be written", `document.getElementById("go")`)
	reach("#go")
	b.do(chromedp.KeyEvent(kb.Enter))
	b.until("it is being written", `document.querySelector(".task")`)
	reach("#stop")
	b.do(chromedp.KeyEvent(kb.Enter))
	b.within(time.Minute, "it is stopped, or was done", `document.querySelector(".task.stopped, .task.done")`)
	b.look("stopped")
}

// TestDeskHolds sees to it that nothing runs out of the page at 200 % and where
// the window is narrow.
func TestDeskHolds(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("starts a browser")
	}
	d := openDesk(t, samplesIn(t))
	b := browser(t)
	axe := witness.Axe(t)
	pages := []string{"job/job.yaml", "", "dies/job.yaml", "look/job.yaml", "write/job.yaml", "again/job.yaml?with=artwork/orchard-cider.pdf",
		"nights", "night/orders.csv?job=job.yaml&together=000454,000463", "records/numbered.yaml", "stock", "stock/press.yaml", "materials", "job/none.yaml"}
	narrow := trials.Each(3, pages) // axe looks at their narrow forms too
	for _, page := range pages {
		b.enters(d, page)
		b.until("the page is there", `document.getElementById("main")`)
		for _, size := range [][2]int64{{1280, 720}, {640, 360}} { // the second is what 200 % leaves of the first
			b.do(emulation.SetDeviceMetricsOverride(size[0], size[1], 1, false))
			b.until("the window has its width", fmt.Sprintf("innerWidth === %d", size[0]))
			if over := b.says(`document.documentElement.scrollWidth - document.documentElement.clientWidth`); over != "0" {
				t.Errorf("/%s runs out of a window of %d pixels by %s", page, size[0], over)
			}
			// The walks have axe look at the other wide pages.
			if size[0] < 1000 && slices.Contains(narrow, page) || size[0] > 1000 && (page == "stock" || page == "job/none.yaml" || trials.Long()) {
				b.axe(axe, fmt.Sprintf("/%s at %d pixels", page, size[0]))
			}
			b.look(fmt.Sprintf("holds-%d-%s", size[0], strings.NewReplacer("/", "-", ".", "-", "?", "-", "=", "-").Replace(page)))
		}
	}
	// On paper the job shows its frame and numbers, and nothing that is pressed.
	b.do(chromedp.Navigate("http://"+d.host+"/job/job.yaml"), emulation.SetEmulatedMedia().WithMedia("print"))
	b.until("the frame is on paper", `document.querySelector("#frame .station") && matchMedia("print").matches`)
	for _, c := range []struct{ what, is string }{
		{".top", "none"}, {".tabs", "none"}, {".acts", "none"}, {".tools", "none"}, {"#numbers", "flex"}, {"#frame", "block"},
	} {
		if got := b.says(`getComputedStyle(document.querySelector("` + c.what + `")).display`); got != c.is {
			t.Errorf("on paper %s is displayed as %q, want %q", c.what, got, c.is)
		}
	}
	b.look("paper")
}
