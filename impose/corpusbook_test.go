package impose

import (
	"bufio"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
)

// results is a file with a line for each file of the corpus that was tried, so
// that a run of an hour can be broken off and gone on with, and its differences
// looked at afterwards.
type results struct {
	known map[string]trial
	file  *os.File
}

// openResults reads the file that QUOIN_CORPUS_RESULTS names; without one,
// nothing is known and nothing kept.
func openResults(t *testing.T) *results {
	t.Helper()
	r := &results{known: map[string]trial{}}
	path := os.Getenv("QUOIN_CORPUS_RESULTS")
	if path == "" {
		return r
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	r.file = f
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		part := strings.Split(lines.Text(), "\t")
		if len(part) == 5 {
			r.known[part[0]] = trial{part[0], part[1], part[2], part[4], part[3]}
		}
	}
	return r
}

// add keeps what became of a file.
func (r *results) add(one trial) {
	if r.file != nil {
		why := strings.NewReplacer("\t", " ", "\n", " ").Replace(one.why)
		fmt.Fprintf(r.file, "%s\t%s\t%s\t%s\t%s\n", one.path, one.qpdf, one.became, one.code, why)
	}
}

// byCode counts the refusals by their code.
func byCode(list []trial) string {
	count := map[string]int{}
	for _, r := range list {
		if r.became == unfit || r.became == refuses || r.became == forbidden {
			code := r.code
			if code == "" {
				code = "(" + strings.TrimPrefix(r.became, "refused: ") + ")"
			}
			count[code]++
		}
	}
	text := "refused, by the first finding's code:\n"
	for _, code := range slices.Sorted(maps.Keys(count)) {
		text += fmt.Sprintf("%6d  %s\n", count[code], code)
	}
	return text
}
