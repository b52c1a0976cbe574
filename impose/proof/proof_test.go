package proof

import (
	"bytes"
	"context"
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
	j, err := job.ReadJob("../../samples/job.yaml")
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
		chromedp.ExecPath(chromium), chromedp.NoSandbox, chromedp.WindowSize(1300, 1000),
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

	var complaints []string
	do(chromedp.Evaluate(witness.Axe(t), nil), chromedp.Evaluate(witness.AxeRun, &complaints, chromedp.EvalAsValue, awaiting))
	for _, c := range complaints {
		t.Errorf("axe: %s", c)
	}
}

// awaiting waits for a promise's value.
func awaiting(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }
