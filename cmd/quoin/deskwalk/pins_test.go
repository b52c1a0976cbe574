package deskwalk

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"quoin/impose/witness"
)

// TestDeskPins binds orders to each other, takes one out and takes a wish back, by
// the pointer and by the keyboard; a wish that can't be met says why.
func TestDeskPins(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("starts a browser")
	}
	d := openDesk(t, samplesIn(t))
	b := browser(t)
	b.enters(d, "night/orders.csv?job=job.yaml")
	planned := func(what, more string) {
		t.Helper()
		b.until(what, more+` && document.querySelectorAll(".plan .run").length > 3 && document.querySelector(".task")?.dataset.state === "done" && !document.querySelector(".stale")`)
	}
	tick := func(ids ...string) {
		t.Helper()
		for _, id := range ids {
			b.do(chromedp.Focus(`.ticks[value="`+id+`"]`), chromedp.KeyEvent(" "))
		}
		b.until("they are ticked", fmt.Sprintf(`document.getElementById("ticked").textContent.startsWith("%d ")`, len(ids)))
	}
	b.enter("#plan-night", "the night is planned", `document.querySelectorAll(".plan .run").length > 3`)
	alone := `[...document.querySelectorAll(".plan .run")].filter((r) => ["000454", "000463"].every((id) => r.innerText.includes(id))).length`
	if got := b.says(alone); got != "0" {
		t.Fatalf("000454 and 000463 share a run already: %s", got)
	}
	tick("000454", "000463")
	b.enter(`[data-bind="together"]`, "the wish stands in the address", `location.search.includes("together=000454%2C000463")`)
	planned("they share a run", alone+` === 1`)
	tick("000450", "000465")
	b.do(chromedp.Click(`[data-bind="apart"]`))
	planned("two are apart", `location.search.includes("apart=") && ![...document.querySelectorAll(".plan .run")].some((r) => ["000450", "000465"].every((id) => r.innerText.includes(id)))`)
	b.enter(`button.hold[data-key=take_out][data-order="000467"]`, "it is taken out", `location.search.includes("take_out=000467")`)
	planned("one is taken out", `location.search.includes("take_out=000467") && document.querySelector(".plan").innerText.includes("taken out of the night")`)
	b.do(chromedp.ScrollIntoView("#orders"))
	b.look("night-4-pinned-orders")
	b.axe(witness.Axe(t), "a pinned night")
	b.do(chromedp.ScrollIntoView("#planned"))
	b.look("night-5-pinned-plan")
	b.do(chromedp.Click(`.unbind[data-key="apart"]`))
	planned("a wish is taken back", `!location.search.includes("apart=") && location.search.includes("together=")`)

	tick("000450", "000468")
	b.do(chromedp.Click(`[data-bind="together"]`))
	b.until("what can't be met says why", `document.querySelector(".task.failed .fault")?.textContent.includes("can't be printed in one run: 000450 is printed on film, 000468 on paper")`)
	b.do(chromedp.ScrollIntoView("#task"))
	b.look("night-6-refused")
}

// TestDeskLiveBound watches a search on the page: the plan falls, or its bound
// rises, while it goes on, and nothing is asked for but the events.
func TestDeskLiveBound(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("starts a browser and searches for some seconds")
	}
	dir := samplesIn(t)
	list := "order,quantity,label,material\n"
	for i := range 60 {
		list += fmt.Sprintf("%03d,%d,50x75mm,m%d\n", i, 700+i*i*37%9000, i%5)
	}
	put(t, filepath.Join(dir, "many.csv"), list)
	d := openDesk(t, dir)
	b := browser(t)
	b.enters(d, "night/many.csv?press=press.yaml")
	b.until("the list is read", `document.querySelectorAll(".orders tbody tr").length === 60`)
	b.do(chromedp.Evaluate(`(() => {
		window.seen = [];
		new MutationObserver(() => {
			const s = document.querySelector(".standing");
			if (!s) return;
			const now = s.dataset.takes + " " + s.dataset.bound;
			if (seen.at(-1) !== now) seen.push(now);
		}).observe(document.getElementById("task"), { childList: true, subtree: true });
	})()`, nil))
	b.enter("#plan-night", "the search stands on the page", `document.querySelector(".standing")`)
	b.look("night-7-search")
	b.within(2*time.Minute, "it moves", `seen.length >= 3`)
	steps := strings.Split(b.says(`seen.join("\n")`), "\n")
	t.Logf("%d standings, %s, ..., %s", len(steps), steps[0], steps[len(steps)-1])
	var takes, bound float64
	for i, s := range steps {
		var a, b float64
		if _, err := fmt.Sscan(s, &a, &b); err != nil || a < b || i > 0 && (a > takes || b < bound) {
			t.Errorf("the search went back: %q, %v", steps, err)
		}
		takes, bound = a, b
	}
	b.within(2*time.Minute, "the plan is there", `document.querySelectorAll(".plan .run").length > 5`)
}
