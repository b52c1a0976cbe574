package report_test

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"quoin/impose/colour"
	"quoin/impose/colour/report"
	"quoin/impose/witness"
)

// TestPagesInABrowser opens both pages in Chromium, on a wide screen and a
// narrow one, and has axe look at them.
func TestPagesInABrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(witness.Need(t, "chromium")), chromedp.NoSandbox, chromedp.WSURLReadTimeout(2*time.Minute),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	defer cancel()
	ctx, cancel = chromedp.NewContext(ctx)
	defer cancel()
	ctx, cancel = context.WithTimeout(ctx, 2*time.Minute)
	defer cancel()
	script, rep := witness.Axe(t), sample(t)
	for name, write := range map[string]func(io.Writer, *colour.Report) error{"operator": report.HTML, "customer": report.Customer} {
		path := filepath.Join(t.TempDir(), name+".html")
		f, err := os.Create(path)
		if err != nil {
			t.Fatal(err)
		}
		if err := write(f, rep); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		for _, width := range []int64{1200, 420} {
			var complaints []string
			var beyond bool
			err := chromedp.Run(ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate("file://"+path),
				chromedp.Evaluate("document.documentElement.scrollWidth > innerWidth + 1", &beyond),
				chromedp.Evaluate(script, nil),
				chromedp.Evaluate(witness.AxeRun, &complaints, chromedp.EvalAsValue,
					func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }))
			if err != nil {
				t.Fatal(err)
			}
			if beyond {
				t.Errorf("%s at %d pixels is wider than the screen", name, width)
			}
			for _, c := range complaints {
				t.Errorf("%s at %d pixels, axe: %s", name, width, c)
			}
		}
	}
}
