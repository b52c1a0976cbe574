package proof

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/witness"
)

// sample writes the proof of the sample job and gives its path.
func sample(t *testing.T) string {
	t.Helper()
	j, err := job.Houses(nil).ReadJob("../../samples/job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	im, err := impose.Open(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	s, err := im.Summary(impose.Written{})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := HTML(context.Background(), &b, im, s, func(string) {}); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "proof.html")
	if err := os.WriteFile(path, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// outside finds addresses that a page would fetch.
var outside = regexp.MustCompile(`(?:src|href)="(?:https?:)?//|url\(\s*['"]?https?:|@import`)

// TestProof opens the sample's proof in Chromium, works every control as a
// person would, by mouse and by keyboard, and has axe look at it.
func TestProof(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pictures and starts a browser")
	}
	chromium := witness.Need(t, "chromium")
	path := sample(t)
	page, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if found := outside.Find(page); found != nil {
		t.Errorf("the page is not self-contained: %s", found)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(chromium), chromedp.NoSandbox, chromedp.WindowSize(1300, 1000), chromedp.WSURLReadTimeout(2*time.Minute),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
	)
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	defer cancel()
	ctx, cancel = chromedp.NewContext(ctx)
	defer cancel()
	ctx, cancel = context.WithTimeout(ctx, 2*time.Minute)
	defer cancel()
	do := func(actions ...chromedp.Action) {
		t.Helper()
		if err := chromedp.Run(ctx, actions...); err != nil {
			t.Fatal(err)
		}
	}
	text := func(expression string) (s string) {
		t.Helper()
		do(chromedp.Evaluate(expression, &s))
		return s
	}
	const seen = `document.querySelector("#view svg").getAttribute("viewBox")`
	do(chromedp.Navigate("file://" + path))
	whole := text(seen)

	do(chromedp.Click("#in"))
	closer := text(seen)
	if closer == whole {
		t.Error("Zoom in changes nothing")
	}
	do(chromedp.Focus("#view"), chromedp.KeyEvent(kb.ArrowRight))
	if text(seen) == closer {
		t.Error("the arrow key moves nothing")
	}
	do(chromedp.KeyEvent("0"))
	if got := text(seen); got != whole {
		t.Errorf("0 shows %s, want all of it: %s", got, whole)
	}

	const marks = `String(getComputedStyle(document.querySelector("[data-layer=marks]")).display)`
	before := text(marks)
	do(chromedp.Click("input[value=marks]"))
	if after := text(marks); before == "none" || after != "none" {
		t.Errorf("the switch of the marks turns display %s to %s", before, after)
	}

	const told = `document.getElementById("told").textContent`
	do(chromedp.Focus("#pick"), chromedp.SetValue("#pick", "station-6-12"),
		chromedp.Evaluate(`document.getElementById("pick").dispatchEvent(new Event("change"))`, nil))
	if got := text(told); !strings.HasPrefix(got, "Lane 6, row 12: Perry") {
		t.Errorf("station 6/12 is told as %q", got)
	}
	do(chromedp.Evaluate(`(() => {
		const r = document.getElementById("station-1-2").getBoundingClientRect();
		const at = { clientX: r.x + r.width / 2, clientY: r.y + r.height / 2, bubbles: true };
		document.getElementById("view").dispatchEvent(new PointerEvent("pointermove", at));
	})()`, nil))
	if got := text(told); !strings.HasPrefix(got, "Lane 1, row 2: Apple juice") {
		t.Errorf("pointing at station 1/2 tells %q", got)
	}

	readsTints(t, do, text)
	measures(t, do, text)

	var complaints []string
	do(chromedp.Evaluate(witness.Axe(t), nil), chromedp.Evaluate(witness.AxeRun, &complaints, chromedp.EvalAsValue, awaiting))
	for _, c := range complaints {
		t.Errorf("axe: %s", c)
	}
}

// awaiting waits for a promise's value.
func awaiting(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }

// at points the mouse at a place of the frame, in mm from the web's left edge
// and the leading end.
func at(across, around float64) string {
	return fmt.Sprintf(`(() => {
		const p = new DOMPoint(%g, %g).matrixTransform(document.getElementById("face").getScreenCTM());
		document.getElementById("view").dispatchEvent(new PointerEvent("pointermove", { clientX: p.x, clientY: p.y, bubbles: true }));
	})()`, across, around)
}

// readsTints compares what the pointer reads with Ghostscript's plates of the
// artwork, and takes single inks on and off.
func readsTints(t *testing.T, do func(...chromedp.Action), text func(string) string) {
	t.Helper()
	const tints = `document.getElementById("tints").innerText`
	do(chromedp.WaitReady(`body[data-plates=ready]`))
	do(chromedp.Evaluate(at(8, 11.5), nil))
	if got := text(tints); !strings.Contains(got, "Target 1") || !strings.Contains(got, "Cyan\t100 %") {
		t.Errorf("on the first target it reads %q", got)
	}
	// Station 4/1 is cider's, its trim 171.5 mm from the left and 1.5875 mm from
	// the leading end; the artwork's trim lies 5 mm inside its media.
	const dpi = 300
	plates := witness.Plates(t, "../../samples/artwork/orchard-cider.pdf", 1, dpi)
	for _, place := range [][2]float64{{4, 6}, {25, 4}, {46, 30}, {3, 60}, {-.6, 30}} {
		do(chromedp.Evaluate(at(171.5+place[0], 1.5875+place[1]), nil))
		got := text(tints)
		for _, ink := range []string{"Cyan", "Magenta", "Yellow", "Black"} {
			x, y := int((5+place[0])/25.4*dpi), int((5+place[1])/25.4*dpi)
			want := float64(plates[ink].GrayAt(x, y).Y) / 2.55
			var read float64
			if _, err := fmt.Sscanf(got[strings.Index(got, ink)+len(ink):], "%g", &read); err != nil || math.Abs(read-want) > 3 {
				t.Errorf("%s at %v is read as %.1f %% (%v), tiffsep has %.1f: %q", ink, place, read, err, want, got)
			}
		}
	}
	const picture = `document.getElementById("art2").getAttribute("href")`
	all := text(picture)
	do(chromedp.Click(`input[value="Magenta"]`), chromedp.WaitReady(`body[data-painted="1"]`))
	if text(picture) == all {
		t.Error("the label looks the same without its magenta")
	}
	do(chromedp.Click(`input[value="Magenta"]`), chromedp.WaitReady(`body[data-painted="2"]`))
	if text(picture) != all {
		t.Error("with all inks again it is another picture")
	}
	do(chromedp.Click("#heavy"), chromedp.WaitReady(`body[data-painted="3"]`))
	if got := text(`document.getElementById("heaviest").textContent`); !strings.HasPrefix(got, "at most 2") {
		t.Errorf("the inks add up to %q", got)
	}
	do(chromedp.Click("#heavy"), chromedp.WaitReady(`body[data-painted="4"]`))
}

// measures takes a distance by the keyboard alone.
func measures(t *testing.T, do func(...chromedp.Action), text func(string) string) {
	t.Helper()
	do(chromedp.Focus("#measure"), chromedp.KeyEvent(kb.Enter), chromedp.KeyEvent(kb.Enter))
	for range 3 {
		do(chromedp.KeyEvent(kb.ArrowRight))
	}
	for range 4 {
		do(chromedp.KeyEvent(kb.ArrowDown))
	}
	do(chromedp.KeyEvent(kb.Enter))
	if got := text(`document.getElementById("distance").textContent`); got != "3.00 mm across, 4.00 mm around, 5.00 mm straight" {
		t.Errorf("3 to the right and 4 down measure %q", got)
	}
}
