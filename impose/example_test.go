package impose_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log"
	"os"
	"path/filepath"
	"time"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/fit"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/plan"
	"quoin/impose/vary"
	"quoin/impose/verify"
)

// An artwork goes on a web: how many labels a frame holds, and the PDF of it.
func Example() {
	j := job.New()
	j.Name = "Apple juice"
	j.Artworks = []job.Artwork{{File: "../samples/artwork/orchard-juice.pdf", Page: 1, Quantity: 100_000}}
	j.WebWidth = 340 * geometry.Millimetre
	j.Gap = geometry.Size{Across: 3 * geometry.Millimetre, Around: 3175 * geometry.Micrometre}
	j.Repeat.Longest = 980 * geometry.Millimetre
	if err := j.Validate(); err != nil {
		log.Fatal(err)
	}
	im, err := impose.Open(context.Background(), j)
	if err != nil {
		log.Fatal(err)
	}
	defer im.Close()
	if err := im.WritePDF(context.Background(), io.Discard); err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d across x %d around on %.1f mm\n", im.Layout.Across, im.Layout.Around, im.Layout.Repeat.MM())
	// Output: 6 across x 12 around on 938.1 mm
}

// Which die of the library serves an order best?
func Example_fit() {
	j, err := job.Houses(nil).ReadJob("../samples/job.yaml", nil)
	if err != nil {
		log.Fatal(err)
	}
	if j.Dies, err = job.ReadDies("../samples/dies.yaml"); err != nil {
		log.Fatal(err)
	}
	brings, err := impose.SurveyArtworks(context.Background(), j)
	if err != nil {
		log.Fatal(err)
	}
	question, err := fit.Ask(j, brings.Label, len(brings.Inks))
	if err != nil {
		log.Fatal(err)
	}
	brings.Shape(&question.Wish)
	report, err := fit.Answer(question)
	if err != nil {
		log.Fatal(err)
	}
	best := report.Best()
	fmt.Printf("%d of %d dies fit; die %s lays %d labels on %.1f mm\n", report.Dies.Fit, report.Dies.Total, best.Die, best.Labels, best.RepeatMM)
	// Output: 2 of 12 dies fit; die 0102 lays 60 labels on 781.8 mm
}

// Which orders of a night share a run?
func Example_night() {
	house, err := job.Houses(nil).ReadJob("../samples/job.yaml", nil)
	if err != nil {
		log.Fatal(err)
	}
	house.Run.Overs = nil // of a night, overs are a limit and each order's own
	list, err := job.OrderForm{}.ReadList("../samples/orders.csv")
	if err != nil {
		log.Fatal(err)
	}
	p, err := plan.Make(context.Background(), list.Orders, &night.Rules{
		House: house.Common(), By: night.Web, Seed: 1, Time: 50 * time.Millisecond, PlanOnly: true,
	}, nil)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d orders in %d runs, %d left out\n", p.Total.Orders, p.Total.Runs, len(p.Unplanned))
	for _, o := range p.Runs[0].Orders {
		fmt.Printf("lanes of %s %s: %d\n", o.Order, o.Product, o.Lanes)
	}
	// Output:
	// 20 orders in 9 runs, 0 left out
	// lanes of 000468 Perry half bottle: 2
	// lanes of 000456 Cider harvest feast: 1
	// lanes of 000457 Perry harvest feast: 1
	// lanes of 000458 Apple juice unfiltered: 1
	// lanes of 000459 Cider alcohol free: 1
}

// Each label gets its own number; a ledger says where each is.
func Example_vary() {
	j, err := job.Houses(nil).ReadJob("../samples/numbered.yaml", nil)
	if err != nil {
		log.Fatal(err)
	}
	j.Data.Count, j.Artworks[0].Quantity = 200, 200
	im, err := impose.Open(context.Background(), j)
	if err != nil {
		log.Fatal(err)
	}
	defer im.Close()
	records, err := im.Records()
	if err != nil {
		log.Fatal(err)
	}
	run, _, err := im.Vary(context.Background(), records, nil)
	if err != nil {
		log.Fatal(err)
	}
	folder, err := os.MkdirTemp("", "numbered")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(folder)
	identity, err := im.Identity() // lets a run that was killed go on
	if err != nil {
		log.Fatal(err)
	}
	parts, err := run.Write(context.Background(), vary.Output{Path: filepath.Join(folder, "run.pdf"), Identity: identity})
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range parts {
		fmt.Printf("%s with %d frames; ledger %s\n", filepath.Base(p.File), p.Frames, filepath.Base(p.Ledger))
	}
	// Output: run.pdf with 3 frames; ledger run.ledger.csv
}

// A written file is proved by its summary and the artworks alone.
func Example_verify() {
	j, err := job.Houses(nil).ReadJob("../samples/job.yaml", nil)
	if err != nil {
		log.Fatal(err)
	}
	im, err := impose.Open(context.Background(), j)
	if err != nil {
		log.Fatal(err)
	}
	defer im.Close()
	pdf, err := os.CreateTemp("", "*.pdf")
	if err != nil {
		log.Fatal(err)
	}
	defer os.Remove(pdf.Name())
	defer pdf.Close()
	if err := im.WritePDF(context.Background(), pdf); err != nil {
		log.Fatal(err)
	}
	s, err := im.Summary(impose.Written{Pages: 1})
	if err != nil {
		log.Fatal(err)
	}
	text, err := json.Marshal(s)
	if err != nil {
		log.Fatal(err)
	}
	plan, err := verify.ParseExpected("the summary", bytes.NewReader(text))
	if err != nil {
		log.Fatal(err)
	}
	result, err := verify.File(context.Background(), pdf.Name(), plan, verify.Options{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("as planned:", result.Same)
	// Output: as planned: true
}
