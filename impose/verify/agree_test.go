package verify_test

import (
	"bytes"
	"context"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose"
	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/verify"
	"quoin/impose/witness"
)

// seeds are artworks that teach something of annotations, fields, layers, inks,
// resources and filters.
func seeds(t testing.TB) (list [][]byte) {
	t.Helper()
	paths := []string{witness.Borrowing(t)}
	for _, name := range []string{
		"annotation-prints", "annotation-state", "form-without-resources", "layer-membership", "layer-off", "devicen", "font-type3",
		"contents-array", "form-object-streams", "group-none-alpha", "boxes-five",
	} {
		paths = append(paths, "../../testdata/placing/"+name+".pdf")
	}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, data)
	}
	return list
}

// mutate changes a PDF as damage, other programs and foul play do: bytes, names
// and references swapped for others, pieces doubled or cut out.
func mutate(data []byte, r *rand.Rand) []byte {
	out := bytes.Clone(data)
	words := []string{
		"/F 4", "/F 20", "/F 0", "/Resources", "/Rotate 90", "/AP", "/OC", "/OCGs", "/Subtype", "/Form", "/Font", "/XObject", "/Type3", "/Matrix", "/BBox",
		"/DeviceN", "/Separation", "/ColorSpace", "/Filter", "/Length", "/Parent", "/Annots", "/MediaBox", "/TrimBox", "/Contents", "/Group",
		" 3 0 R", " 4 0 R", " 5 0 R", " 6 0 R", " 8 0 R", " 99 0 R", "null", "[0 0 1 1]", "-1", "/Gr#FCn", "/None", "/All",
	}
	for range 1 + r.IntN(3) {
		at := r.IntN(len(out))
		switch r.IntN(4) {
		case 0:
			out[at] ^= 1 << r.IntN(8)
		case 1: // a word over another, so that offsets stay
			to := words[r.IntN(len(words))]
			if i := bytes.Index(out[at:], []byte("/")); i >= 0 && at+i+len(to) <= len(out) {
				copy(out[at+i:], to)
			}
		case 2: // a word for the same word elsewhere
			from, to := words[r.IntN(len(words))], words[r.IntN(len(words))]
			if i := bytes.Index(out[at:], []byte(from)); i >= 0 {
				out = append(append(bytes.Clone(out[:at+i]), to...), out[at+i+len(from):]...)
			}
		case 3:
			n := min(r.IntN(60), len(out)-at)
			out = append(bytes.Clone(out[:at]), out[at+n:]...)
		}
	}
	return out
}

// variant gives one of the jobs in which an artwork may stand: turned, under
// film, on white of either shape, silenced and renamed inks.
func variant(path string, round uint64) *job.Job {
	j := small(path, geometry.Turn(round%4))
	j.Mirror = round%5 == 4
	switch round % 7 {
	case 2:
		j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.ByShape, Choke: mm / 5, Hits: 1}
	case 3:
		j.Lanes, j.Rows = 3, 3 // so many that tiling patterns are wrapped
	case 4:
		j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.Flood, Hits: 2}
	case 5:
		j.Inks.Varnish = []string{"Quince Gold"}
		j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.ByShape, Hits: 1}
	case 6:
		j.Inks.Aliases = []job.Alias{{From: "Quince Gold", To: "Sand"}}
		j.Inks.Technical = []string{"Hedge Green"}
	}
	return j
}

// agree holds that what the writer makes of an artwork, the proof agrees to. An
// artwork may be refused, with a way out.
func agree(t *testing.T, data []byte, round uint64) (placed bool) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "art.pdf")
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	j := variant(path, round)
	j.WebWidth, j.Repeat.Longest = 9000*mm, 9000*mm
	im, err := impose.Open(ctx, j)
	if err != nil {
		var a *artwork.Error
		if errors.As(err, &a) && (a.Hint() == "" || strings.Contains(err.Error(), "the reader failed")) {
			t.Fatalf("%v without a way out", err)
		}
		return false
	}
	defer im.Close()
	var out bytes.Buffer
	if err := im.WritePDF(ctx, &out); err != nil {
		return false
	}
	pdf, summary := finished(t, im)
	plan, err := verify.ReadExpected(summary)
	if err != nil {
		t.Fatal(err)
	}
	r, err := verify.File(ctx, pdf, plan, verify.Options{Summary: summary, Alone: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range r.Differences {
		t.Errorf("%s: %s", d.Code, d.Text)
	}
	return true
}

// TestWriterAndProofAgree runs mutations that are the same every time.
func TestWriterAndProofAgree(t *testing.T) {
	rounds := trials.Number(t, "", 6, 60)
	if testing.Short() {
		rounds = 4
	}
	placed, tried := 0, 0
	for i, data := range seeds(t) {
		for n := range rounds {
			r := rand.New(rand.NewPCG(uint64(i), uint64(n)))
			changed := mutate(data, r)
			if n == 0 {
				changed = data
			}
			tried++
			if agree(t, changed, uint64(n)) {
				placed++
			}
			if t.Failed() {
				t.Fatalf("seed %d, round %d", i, n)
			}
		}
	}
	t.Logf("%d of %d mutations were placed", placed, tried)
	if placed < tried/4 {
		t.Errorf("only %d of %d mutations were placed", placed, tried)
	}
}

// FuzzAgree looks for an artwork that the writer and the proof see differently:
// any of the placing tests' artworks, changed by the round's dice and then by the
// fuzzer's own bytes.
func FuzzAgree(f *testing.F) {
	all := seeds(f)
	more, err := filepath.Glob("../../testdata/placing/*.pdf")
	if err != nil || len(more) < 50 {
		f.Fatalf("%d artworks, %v", len(more), err)
	}
	for _, path := range more {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		if len(data) < 10_000 {
			all = append(all, data)
		}
	}
	for i := range all {
		f.Add(i, uint64(i), 0, []byte(nil))
	}
	f.Fuzz(func(t *testing.T, seed int, round uint64, at int, with []byte) {
		if seed < 0 || seed >= len(all) || at < 0 {
			t.Skip()
		}
		data := mutate(all[seed], rand.New(rand.NewPCG(uint64(seed), round)))
		if len(with) > 0 && at+len(with) <= len(data) {
			copy(data[at:], with)
		}
		agree(t, data, round)
	})
}
