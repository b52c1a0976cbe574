package vary_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"quoin/impose/vary"
)

// Cameras and spreadsheets write lists in ways of their own; what could be taken for
// the code of another label is refused.
func TestListsOfCameras(t *testing.T) {
	for text, want := range map[string]string{
		"A1\nB2\n":                                   "A1 B2",
		"code,result\nA1,ok\nB2,unreadable\n":        "B2",
		"\ufeffNo;Code;Result\n1;A1;OK\n2;B;2;bad\n": "B",
		"code\tresult\nA1\tfail\nB2\tpass\n":         "A1",
		"\"A,1\"\nB;2\n":                             "A,1 B;2",
		"A1,ok\nB2,bad\n":                            "nothing says which is the code",
		"code;result\n":                              "names no codes",
	} {
		codes, err := vary.CodesOf(save(t, "list.csv", []byte(text)))
		got := strings.Join(slices.Sorted(maps.Keys(codes)), " ")
		if err != nil {
			got = err.Error()
		}
		if err == nil && got != want || !strings.Contains(got, want) {
			t.Errorf("%q gives %q, want %q", text, got, want)
		}
	}
}
