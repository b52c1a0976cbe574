package main

import (
	"context"
	"fmt"
	"io"

	"quoin/impose/say"
	"quoin/impose/summary"
	"quoin/impose/vary"
	"quoin/impose/verify/labels"
)

// varyReport is a run's report with the warnings of its frame and its proof.
type varyReport struct {
	*vary.Report
	House    []summary.House `json:"house,omitempty"` // what the job took from house files
	Proof    *labels.Report  `json:"proof,omitempty"` // nil where the run was not proved
	Warnings say.Notes       `json:"warnings"`

	job string // its name
}

// prove takes the parts that were written for what they say they are only once
// register, ledgers and pages agree and symbols have been read back. Parts of an
// earlier start were proved by it, and may have gone to the press. It returns nil
// where nobody wants a proof, or no register is there to prove by.
func (f *varyFlags) prove(ctx context.Context, parts []vary.Part, tell func(string)) (*labels.Report, error) {
	fresh := []int64{}
	for _, p := range parts {
		if !p.Before {
			fresh = append(fresh, p.Number)
		}
	}
	if f.noVerify || f.book() == "" || len(fresh) == 0 {
		return nil, nil
	}
	return labels.Verify(ctx, labels.Options{Register: f.book(), Run: f.out, Parts: fresh, Glance: true, Say: tell})
}

func (f *varyFlags) print(w io.Writer, r varyReport) error {
	if f.json {
		return say.JSON(w, r)
	}
	if err := r.Text(w); err != nil || f.plan {
		return err
	}
	if r.Proof == nil {
		_, err := fmt.Fprintln(w, "Nothing was proved now; quoin verify --run does that where there is a register")
		return err
	}
	if _, err := fmt.Fprintln(w, "\nThe proof, against register, ledgers and pages:"); err != nil {
		return err
	}
	return r.Proof.Text(w)
}
