package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"quoin/impose/witness"
)

// tab is a page in a headless Chromium.
type tab struct {
	testing.TB
	ctx context.Context
}

// browser starts Chromium with an empty profile.
func browser(t testing.TB) tab {
	t.Helper()
	chromium := witness.Need(t, "chromium")
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(chromium), chromedp.NoSandbox, chromedp.WindowSize(1280, 720),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, 4*time.Minute)
	t.Cleanup(cancel)
	b := tab{t, ctx}
	b.do(emulation.SetDeviceMetricsOverride(1280, 720, 1, false))
	return b
}

// another opens a second page in the same browser.
func (b tab) another() tab {
	b.Helper()
	ctx, cancel := chromedp.NewContext(b.ctx)
	b.Cleanup(cancel)
	n := tab{b.TB, ctx}
	n.do(emulation.SetDeviceMetricsOverride(1280, 720, 1, false))
	return n
}

func (b tab) do(actions ...chromedp.Action) {
	b.Helper()
	if err := chromedp.Run(b.ctx, actions...); err != nil {
		b.Fatal(err)
	}
}

// says gives a text that a script works out on the page.
func (b tab) says(expression string) (s string) {
	b.Helper()
	b.do(chromedp.Evaluate(`String(`+expression+`)`, &s))
	return s
}

// until waits for a script to be true.
func (b tab) until(what, expression string) {
	b.Helper()
	for range 600 {
		if b.says(`!!(`+expression+`)`) == "true" {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	b.Fatalf("%s: still not so: %s\n%s", what, expression, b.says("document.body.innerText.slice(0, 2000)"))
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

// TestDeskWalk drops an artwork, changes it, takes a die, writes, and proves what
// was written: the whole way of a job, in a real browser.
func TestDeskWalk(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	d := openDesk(t, samplesIn(t))
	b := browser(t)
	b.do(chromedp.Navigate(d.address))
	b.until("the jobs are planned", `document.querySelectorAll(".card .state.planned").length === 2`)
	b.until("their frames are drawn", `[...document.querySelectorAll(".card img")].every((i) => i.complete && i.naturalWidth > 0)`)
	b.look("jobs")
	b.do(chromedp.Navigate("http://" + d.host + "/job/job.yaml"))
	b.until("the frame is there", `document.querySelectorAll("#frame .station").length === 72`)
	b.do(chromedp.Sleep(4 * time.Second))
	b.look("job")
	b.do(chromedp.Navigate("http://" + d.host + "/dies/job.yaml"))
	b.until("dies are shown", `document.querySelector(".option .take")`)
	b.look("dies")
	b.do(chromedp.Navigate("http://" + d.host + "/look/job.yaml"))
	b.until("plates are drawn", `document.querySelector("#look[data-ready]")`)
	b.look("look")
	b.do(chromedp.Navigate("http://" + d.host + "/again/job.yaml?with=artwork/orchard-cider.pdf"))
	b.look("again")
	b.do(chromedp.Navigate("http://" + d.host + "/write/job.yaml"))
	b.look("write")
	b.do(chromedp.Click("#go"))
	b.until("it is written", `document.querySelector(".task.done")`)
	b.look("written")
}
