package deskwalk

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"
)

// BenchmarkRatioDeskChange changes one value on the page and measures the
// processor time of the browser's page until the new frame is shown, at the 95th
// percentile: taking the answer in, laying out and painting commands. The plan's
// part is BenchmarkRatioChange of impose/desk/plan; both together may take 100 ms
// for 240 stations and 250 ms for 2,000.
func BenchmarkRatioDeskChange(b *testing.B) {
	for _, c := range []struct {
		stations int
		label    string
		most     float64 // ms
	}{{240, "20x47mm", 100}, {2000, "8x13mm", 250}} {
		b.Run(fmt.Sprint(c.stations, " stations"), func(b *testing.B) {
			dir := samplesIn(b)
			plain := plainArtwork(c.label)
			if err := os.WriteFile(filepath.Join(dir, "small.pdf"), plain, 0o666); err != nil {
				b.Fatal(err)
			}
			text := "press: press.yaml\nweb: 340mm\nlabel: " + c.label + "\ngap: 2x2mm\nbleed: 0.5mm\nframe-max: 980mm\nmarks: {slit: false}\nartworks: [{file: small.pdf, quantity: 100000}]\n"
			if err := os.WriteFile(filepath.Join(dir, "many.yaml"), []byte(text), 0o666); err != nil {
				b.Fatal(err)
			}
			d := openDesk(b, dir)
			page := browser(b)
			page.do(chromedp.Navigate(d.address), chromedp.Navigate("http://"+d.host+"/job/many.yaml"),
				performance.Enable().WithTimeDomain(performance.EnableTimeDomainThreadTicks))
			page.until("the frame is there", `document.querySelector("#frame .station")`)
			page.do(chromedp.Sleep(2 * time.Second))
			taken := func() float64 {
				var total float64
				page.do(chromedp.ActionFunc(func(ctx context.Context) error {
					metrics, err := performance.GetMetrics().Do(ctx)
					for _, m := range metrics {
						if m.Name == "TaskDuration" {
							total = m.Value * 1000
						}
						if os.Getenv("QUOIN_DESK_PARTS") != "" && (m.Name == "LayoutDuration" || m.Name == "RecalcStyleDuration" || m.Name == "ScriptDuration") {
							b.Logf("%s %.1f ms", m.Name, m.Value*1000)
						}
					}
					return err
				}))
				return total
			}
			var all []float64
			i := 0
			for b.Loop() {
				i++
				before := taken()
				gap := fmt.Sprintf("%.2f", 2+float64(i%7+1)/100)
				page.do(chromedp.Evaluate(`(() => {
					const was = document.getElementById("bar").dataset.version, i = document.getElementById("v-gap");
					i.value = "`+gap+`";
					i.dispatchEvent(new Event("change", { bubbles: true }));
					return new Promise((done) => { const look = () => document.getElementById("bar").dataset.version !== was ? requestAnimationFrame(() => setTimeout(done, 50)) : setTimeout(look, 20); look(); });
				})()`, nil, awaited))
				all = append(all, taken()-before)
			}
			slices.Sort(all)
			p95 := all[len(all)*95/100]
			b.ReportMetric(p95, "ms-cpu-p95")
			b.ReportMetric(p95/c.most, "of-the-limit")
		})
	}
}

// plainArtwork is a label of the size in one colour, with half a millimetre of
// bleed.
func plainArtwork(label string) []byte {
	var w, h float64
	fmt.Sscanf(label, "%gx%gmm", &w, &h)
	w, h = (w+1)*72/25.4, (h+1)*72/25.4
	content := fmt.Sprintf("0 1 0 0 k 0 0 %g %g re f", w, h)
	return fmt.Appendf(nil, "%%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n"+
		"3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 %g %g]/TrimBox[1.417 1.417 %g %g]/Contents 4 0 R/Resources<<>>>>endobj\n"+
		"4 0 obj<</Length %d>>stream\n%s\nendstream endobj\ntrailer<</Root 1 0 R>>\n", w, h, w-1.417, h-1.417, len(content), content)
}
