package deskwalk

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// Seconds of a practised person for one key, for pointing and pressing a button, and
// for making up the mind before each step: the keystroke-level model of Card, Moran
// and Newell, Communications of the ACM 23 (1980), pages 396 to 410 (from memory).
const (
	perKey    = 0.28
	perPoint  = 1.1 + 0.2
	perChoice = 1.35
)

// counter counts what a person does on the page.
type counter struct {
	tab
	points, keys, actions int
}

func (c *counter) click(selector string) {
	c.Helper()
	c.points, c.actions = c.points+1, c.actions+1
	c.until("there is "+selector, `document.querySelector(`+"`"+selector+"`"+`) && !document.querySelector(`+"`"+selector+"`"+`).disabled`)
	c.do(chromedp.Evaluate(`document.querySelector(`+"`"+selector+"`"+`).click()`, nil))
}

// types fills a field and leaves it.
func (c *counter) types(selector, text string) {
	c.Helper()
	c.points, c.keys, c.actions = c.points+1, c.keys+len(text)+1, c.actions+1
	c.until("there is "+selector, `document.querySelector("`+selector+`")`)
	c.do(chromedp.SendKeys(selector, text+"\r"))
}

// drop lets go of files.
func (c *counter) drop(files ...string) {
	c.Helper()
	c.points, c.actions = c.points+1, c.actions+1
	c.drops(files...)
}

func (c *counter) seconds() float64 {
	return float64(c.points)*perPoint + float64(c.keys)*perKey + float64(c.actions)*perChoice
}

// TestDeskEverydayJobs does five jobs of every day on the page and counts, beside
// the command line that does the same: its keys, and a choice for each word. The
// first, from a dropped artwork to a written, proved PDF, may take 6 actions.
func TestDeskEverydayJobs(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("starts a browser and writes")
	}
	dir := samplesIn(t)
	fewOrders(t, dir, "000450", "000452", "000454", "000468")
	art, err := os.ReadFile(filepath.Join(dir, "artwork", "orchard-juice.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	outside := t.TempDir()
	fresh, newer := filepath.Join(outside, "fresh.pdf"), filepath.Join(outside, "newer.pdf")
	put(t, fresh, string(art)+"\n% fresh")
	put(t, newer, string(art)+"\n% newer")
	d := openDesk(t, dir)
	b := browser(t)
	b.do(chromedp.Navigate(d.address))
	home := func() *counter {
		b.do(chromedp.Navigate("http://" + d.host + "/"))
		b.until("the jobs are there", `document.querySelector(".card")`)
		return &counter{tab: b}
	}
	var rows []string
	row := func(name string, c *counter, command string) {
		words := len(strings.Fields(command))
		rows = append(rows, fmt.Sprintf("| %s | %d | %.0f s | %d words, %d keys | %.0f s |", name, c.actions, c.seconds(), words, len(command)+1,
			float64(len(command)+1)*perKey+float64(words)*perChoice))
	}
	const written = `document.querySelector(".task.done") && document.querySelector("#bar .state.written")`

	c := home()
	c.drop(fresh)
	c.until("the job is begun", `document.body.dataset.job === "fresh.yaml" && document.querySelector("#frame .station")`)
	c.types("#v-artworks-0-quantity", "25000")
	c.until("the order is planned", `document.getElementById("numbers").textContent.includes("Frames")`)
	c.click(`.tabs a[href^="/write"]`)
	c.click("#go")
	c.within(2*time.Minute, "it is written", written)
	if c.actions > 6 {
		t.Errorf("a standard job takes %d actions", c.actions)
	}
	row("A new artwork becomes a proved PDF", c, "quoin impose fresh.pdf --quantity 25000 -o out/fresh.pdf")

	c = home()
	c.click(`.card[data-job="fresh.yaml"] a.name`)
	c.until("the job is open", `document.querySelector("#frame .station")`)
	c.drop(newer)
	c.click(`#dropped [value="again"]`)
	c.click("#again")
	c.until("the new job is there", `document.body.dataset.page === "job" && document.querySelector("#frame .station")`)
	c.click(`.tabs a[href^="/write"]`)
	c.click("#go")
	c.within(2*time.Minute, "it is written", written)
	row("An old job with new artwork", c, "quoin again fresh.yaml --artwork newer.pdf -o out/newer.pdf --difference d.png")

	c = home()
	c.click(`.card[data-job="fresh.yaml"] a.name`)
	c.click(`.tabs a[href^="/dies"]`)
	c.click(`[data-room="dies.csv"]`)
	c.until("dies are shown", `[...document.querySelectorAll(".option")].find((o) => o.querySelector("h3").textContent === "Die 0101")?.querySelector(".take")`)
	c.points, c.actions = c.points+1, c.actions+1
	c.do(chromedp.Evaluate(`[...document.querySelectorAll(".option")].find((o) => o.querySelector("h3").textContent === "Die 0101").querySelector(".take").click()`, nil))
	c.until("the die is taken", `document.body.dataset.page === "job" && document.getElementById("v-die")?.value === "0101"`)
	row("The best die is found and taken", c, "quoin fit fresh.yaml --dies dies.csv quoin impose fresh.yaml --dies dies.csv --die 0101 -o out/fresh.pdf")

	c = home()
	c.click(`.rooms a[href="/nights"]`)
	c.click(`a[href^="/night/orders.csv"]`)
	c.until("the list is open", `document.querySelector("select[name=job]")`)
	c.points, c.actions = c.points+2, c.actions+1 // opening a list, and its line
	c.do(chromedp.Evaluate(`((i) => { i.value = "job.yaml"; i.dispatchEvent(new Event("change", { bubbles: true })); })(document.querySelector("select[name=job]"))`, nil))
	c.until("the job is chosen", `location.search.includes("job=job.yaml")`)
	c.click(`#plan-night`)
	c.within(2*time.Minute, "it is planned", `document.querySelector(".plan .run") && document.querySelector(".task.done")`)
	c.click("#build-night")
	c.within(2*time.Minute, "it is built", `document.querySelector(".task[data-what=build].done, .task[data-what=build].failed")`)
	row("A night is planned, looked at and built", c, "quoin gang orders.csv --job job.yaml -n quoin gang orders.csv --job job.yaml --out night")

	c = home()
	c.click(`.card[data-job="numbered.yaml"] a.name`)
	c.click(`.tabs a[href^="/records"]`)
	c.until("the record is drawn", `document.getElementById("record-picture")?.naturalWidth > 300`)
	c.click(`table a`)
	c.until("the longest is drawn", `document.getElementById("record-picture")?.naturalWidth > 300`)
	row("The longest record is seen on its label", c, "quoin vary numbered.yaml -n quoin impose numbered.yaml -n --proof proof.html")
	for _, r := range rows {
		t.Log(r)
	}
}
