package verify_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"quoin/impose/verify"
)

// FuzzFile verifies a small file with bytes changed: it must end in an error
// with a reason or in a result, never in a panic or a hang.
func FuzzFile(f *testing.F) {
	pdf, summary := written(f, frame("../../testdata/placing/layer-off.pdf"))
	data, err := os.ReadFile(pdf)
	if err != nil {
		f.Fatal(err)
	}
	plan, err := verify.ReadExpected(summary)
	if err != nil {
		f.Fatal(err)
	}
	for at := 0; at < len(data); at += 97 {
		f.Add(at, []byte{data[at] ^ 1})
	}
	f.Add(len(data)/2, []byte("endobj"))
	f.Add(len(data)-40, []byte("startxref\n0\n%%EOF"))
	f.Fuzz(func(t *testing.T, at int, with []byte) {
		if at < 0 || at+len(with) > len(data) {
			t.Skip()
		}
		changed := bytes.Clone(data)
		copy(changed[at:], with)
		path := filepath.Join(t.TempDir(), "changed.pdf")
		if err := os.WriteFile(path, changed, 0o666); err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
		defer cancel()
		_, err := verify.File(ctx, path, plan, verify.Options{Summary: summary, Alone: true})
		if err != nil && (ctx.Err() != nil || strings.Contains(err.Error(), "the check failed")) {
			t.Fatal(err)
		}
	})
}

// FuzzPlan reads changed summaries: an error says what is wrong with them.
func FuzzPlan(f *testing.F) {
	_, summary := written(f, frame("../../testdata/placing/layer-off.pdf"))
	data, err := os.ReadFile(summary)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add([]byte(`{"schema": "quoin/summary/1", "written": {"output_intent": {"artwork": 9}}}`))
	f.Add([]byte(`{"schema": "quoin/summary/1", "written": {}, "stations": [{}]}`))
	f.Add([]byte(`[]`))
	f.Fuzz(func(t *testing.T, data []byte) {
		plan, err := verify.ParseExpected("plan.json", bytes.NewReader(data))
		if (err == nil) == (plan == nil) || err != nil && !strings.HasPrefix(err.Error(), "plan.json: ") {
			t.Errorf("%v, %v", plan, err)
		}
	})
}
