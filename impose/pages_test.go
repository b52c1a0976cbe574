package impose

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"quoin/impose/job"
	"quoin/impose/witness"
)

// twoSided is a label of 40 x 40 mm with so many pages.
func twoSided(t *testing.T, pages int) string {
	t.Helper()
	kids, bodies := "", []string{"<< /Type /Catalog /Pages 2 0 R >>", ""}
	for i := range pages {
		kids += fmt.Sprintf("%d 0 R ", 3+i)
		bodies = append(bodies, fmt.Sprintf("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 120 120] /TrimBox [3 3 117 117] /Contents %d 0 R >>", 3+pages))
	}
	bodies[1] = fmt.Sprintf("<< /Type /Pages /Kids [%s] /Count %d >>", kids, pages)
	return witness.Handwritten(t, append(bodies, witness.Stream("", "0 g 10 10 50 50 re f"))...)
}

func warnedOf(im *Imposition, code string) string {
	var texts []string
	for _, w := range im.remarks().warnings {
		if w.Code == code {
			texts = append(texts, w.Text)
		}
	}
	return strings.Join(texts, "\n")
}

// Pages that stand on no lane are told; two pages on neighbouring lanes are not.
func TestUnusedPagesAreTold(t *testing.T) {
	for pages, want := range map[int]string{
		1: "",
		2: "page 2 is not used; --page 2, or `pages:` in a job file",
		4: "pages 2, 3, 4 are not used",
		9: "pages 2, 3, 4, 5, 6 and 3 more are not used",
	} {
		path := twoSided(t, pages)
		im, err := Open(context.Background(), placingJob(path))
		if err != nil {
			t.Fatal(err)
		}
		if got := warnedOf(im, "page-unused"); (want == "") != (got == "") || !strings.Contains(got, want) {
			t.Errorf("%d pages: %q, want %q", pages, got, want)
		}
		im.Close()
		if pages != 2 {
			continue
		}
		j, err := job.Houses(nil).ParseJob("job.yaml", []byte(fmt.Sprintf("web: 200mm\nframe-max: 300mm\nlanes: 2\nartworks: [{file: %s, pages: [1, 2], quantity: 100, lanes: 1}]\n", path)), nil)
		if err != nil {
			t.Fatal(err)
		}
		if im, err = Open(context.Background(), j); err != nil {
			t.Fatal(err)
		}
		defer im.Close()
		if got := warnedOf(im, "page-unused"); got != "" || len(im.lanes) != 2 || im.lanes[0] != 0 || im.lanes[1] != 1 || im.Pages[1].Number != 2 {
			t.Errorf("%q, lanes %v", got, im.lanes)
		}
	}
}

// One artwork that is trapped and one that is not: the file can say only one.
func TestTrappedAndNotIsTold(t *testing.T) {
	says := func(word string) string {
		path := twoSided(t, 1)
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		text := strings.Replace(string(data), "/Root 1 0 R", "/Root 1 0 R /Info << /Trapped /"+word+" >>", 1)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	for words, want := range map[[2]string]bool{{"True", "False"}: true, {"False", "True"}: true, {"True", "True"}: false, {"False", "False"}: false, {"True", "Unknown"}: false} {
		im, err := Open(context.Background(), placingJob(says(words[0]), says(words[1])))
		if err != nil {
			t.Fatal(err)
		}
		if got := warnedOf(im, "trapping-differs"); (got != "") != want {
			t.Errorf("%v: %q", words, got)
		}
		im.Close()
	}
}
