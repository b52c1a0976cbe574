package deskwalk

import (
	"context"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"

	"quoin/impose/witness"
)

// tab is a page in a headless Chromium.
type tab struct {
	testing.TB
	ctx     context.Context
	profile cdp.BrowserContextID
}

// chromium is one process for all tests, which TestMain ends.
var chromium struct {
	sync.Mutex
	ctx  context.Context
	ends []context.CancelFunc
}

// browser gives each test an empty profile of its own in the one Chromium, so that
// none sees another's cookies.
func browser(t testing.TB) tab {
	t.Helper()
	path := witness.Need(t, "chromium")
	chromium.Lock()
	defer chromium.Unlock()
	if chromium.ctx == nil {
		options := append(chromedp.DefaultExecAllocatorOptions[:],
			chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.WindowSize(1280, 720), chromedp.WSURLReadTimeout(patience),
			chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
			chromedp.DisableGPU, chromedp.Flag("disable-software-rasterizer", true), // drawn in the end by the processor either way
			chromedp.Flag("js-flags", "--no-opt --no-maglev")) // a page's scripts run for a moment: compiling them well takes longer
		ctx, end := chromedp.NewExecAllocator(context.Background(), options...)
		first, close := chromedp.NewContext(ctx)
		chromium.ends = []context.CancelFunc{close, end}
		if err := chromedp.Run(first); err != nil {
			t.Fatal(err)
		}
		chromium.ctx = first
	}
	profile, err := target.CreateBrowserContext().WithDisposeOnDetach(true).Do(inChromium())
	if err != nil {
		t.Fatal(err)
	}
	return opened(t, profile, true)
}

// inChromium is what commands to the browser, not to a page, are given.
func inChromium() context.Context {
	return cdp.WithExecutor(chromium.ctx, chromedp.FromContext(chromium.ctx).Browser)
}

// opened sets a new page up, the first of a profile in a window of its own. What it
// runs first lives as long as the page does. The keys go to it as if its window were
// the one in front.
func opened(t testing.TB, profile cdp.BrowserContextID, first bool) tab {
	t.Helper()
	id, err := target.CreateTarget("about:blank").WithBrowserContextID(profile).WithNewWindow(first).Do(inChromium())
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := chromedp.NewContext(chromium.ctx, chromedp.WithTargetID(id))
	t.Cleanup(cancel)
	if err := chromedp.Run(ctx, emulation.SetDeviceMetricsOverride(1280, 720, 1, false), emulation.SetFocusEmulationEnabled(true)); err != nil {
		t.Fatal(err)
	}
	return tab{t, ctx, profile}
}

// another opens a second page of the same profile.
func (b tab) another() tab {
	b.Helper()
	return opened(b.TB, b.profile, false)
}

// enters opens a page of a desk as somebody who has been let in before, without the
// list of jobs and what is drawn for it.
func (b tab) enters(d *desk, path string) {
	b.Helper()
	at := "http://" + d.host + "/"
	u, err := url.Parse(at)
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range d.client.Jar.Cookies(u) {
		b.do(network.SetCookie(c.Name, c.Value).WithURL(at).WithHTTPOnly(true).WithSameSite(network.CookieSameSiteStrict))
	}
	b.do(chromedp.Navigate(at + path))
}

// do acts on the page. What one action was for may be shown anew between finding and
// pressing it: nothing was pressed then, and it is tried again.
func (b tab) do(actions ...chromedp.Action) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 2*patience)
	defer cancel()
	err := chromedp.Run(ctx, actions...)
	for len(actions) == 1 && err != nil && strings.Contains(err.Error(), "Could not find node with given id") {
		time.Sleep(50 * time.Millisecond)
		err = chromedp.Run(ctx, actions...)
	}
	if err != nil {
		b.Fatalf("the page can't be acted on: %v", err)
	}
}

// says gives a text that a script works out on the page.
func (b tab) says(expression string) (s string) {
	b.Helper()
	b.do(chromedp.Evaluate(`String(`+expression+`)`, &s))
	return s
}

// patience is how long one step of a walk may take, on a machine that is very busy
// with other tests.
const patience = 2 * time.Minute

// until waits for a script to be true. The failure says what was waited for, and
// what the page showed instead.
func (b tab) until(what, expression string) {
	b.Helper()
	b.within(patience, what, expression)
}

// within is until for what takes longer: a press file or a night to be written.
func (b tab) within(most time.Duration, what, expression string) {
	b.Helper()
	so := false
	for end, wait := time.Now().Add(most), 20*time.Millisecond; time.Now().Before(end); wait = min(wait*3/2, 200*time.Millisecond) {
		// A page that is on its way has no body, or goes while it is asked; one that
		// isn't complete takes no key yet.
		ctx, cancel := context.WithTimeout(b.ctx, patience)
		err := chromedp.Run(ctx, chromedp.Evaluate(`(() => { try { return document.readyState === "complete" && !!(`+expression+`); } catch { return false; } })()`, &so))
		cancel()
		if err == nil && so {
			return
		}
		time.Sleep(wait)
	}
	b.look("failed")
	b.Fatalf("%s: not so after %v: %s\nat %s the page shows:\n%s", what, most, expression,
		b.says("location.href"), b.says("document.body.innerText.slice(0, 3000)"))
}

// enter presses Enter on a button until what it is for is there. A page that is
// being shown anew just then loses the key, as it does a person's, who presses
// again.
func (b tab) enter(button, what, expression string) {
	b.Helper()
	pressed := false
	for end := time.Now().Add(patience); !pressed && time.Now().Before(end); {
		ctx, cancel := context.WithTimeout(b.ctx, patience)
		_ = chromedp.Run(ctx, chromedp.Focus(button), chromedp.KeyEvent("\r"))
		for wait := time.Now().Add(patience / 16); !pressed && time.Now().Before(wait); time.Sleep(50 * time.Millisecond) {
			_ = chromedp.Run(ctx, chromedp.Evaluate(`!!(`+expression+`)`, &pressed))
		}
		cancel()
	}
	b.until(what, expression)
}

// look keeps a picture of the page where QUOIN_DESK_LOOK names a folder.
func (b tab) look(name string) {
	b.Helper()
	dir := os.Getenv("QUOIN_DESK_LOOK")
	if dir == "" {
		return
	}
	var png []byte
	b.do(chromedp.Sleep(300*time.Millisecond), chromedp.CaptureScreenshot(&png))
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o666); err != nil {
		b.Fatal(err)
	}
}

// drops lets go of files on a page, as a person does who drags them there.
func (b tab) drops(paths ...string) {
	b.Helper()
	b.do(chromedp.Evaluate(`(() => { const i = document.createElement("input"); i.type = "file"; i.multiple = true; i.id = "dragged"; i.hidden = true; document.body.append(i); })()`, nil),
		chromedp.SetUploadFiles("#dragged", paths, chromedp.ByID),
		chromedp.Evaluate(`(() => {
			const t = new DataTransfer();
			for (const f of document.getElementById("dragged").files) t.items.add(f);
			document.getElementById("dragged").remove();
			document.body.dispatchEvent(new DragEvent("drop", { dataTransfer: t, bubbles: true, cancelable: true }));
		})()`, nil))
}

// sets gives a field another value, as a person does who then leaves it.
func (b tab) sets(id, value string) {
	b.Helper()
	b.do(chromedp.Evaluate(`((i) => { i.value = "`+value+`"; i.dispatchEvent(new Event("change", { bubbles: true })); })(document.getElementById("`+id+`"))`, nil))
}

// front brings a page before the others, as a person does who turns to it: a page
// behind another gets no pointer, and browsers close no dialog there.
func (b tab) front() {
	b.Helper()
	b.do(page.BringToFront())
	b.until("the page is in front", `!document.hidden`)
}

// number gives what stands under a name in the strip of numbers.
func (b tab) number(name string) string {
	b.Helper()
	return b.says(`[...document.querySelectorAll("#numbers > div")].find((d) => d.querySelector("dt").textContent === "` + name + `")?.querySelector("dd").textContent`)
}

// axe has axe-core look at the page.
func (b tab) axe(script, where string) {
	b.Helper()
	var complaints []string
	b.do(chromedp.Evaluate(script, nil), chromedp.Evaluate(witness.AxeRun, &complaints, chromedp.EvalAsValue, awaited))
	for _, c := range complaints {
		b.Errorf("axe on %s: %s", where, c)
	}
}

// awaited waits for a promise's value.
func awaited(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }
