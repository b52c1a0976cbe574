package artwork

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"strings"
	"testing"
	"time"

	"quoin/geometry/trials"
	"quoin/impose/witness"
)

// bomb is a stream of some kilobytes that unpacks to size bytes.
func bomb(t *testing.T, entries, head string, size int) string {
	t.Helper()
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	if _, err := z.Write([]byte(head)); err != nil {
		t.Fatal(err)
	}
	blank := bytes.Repeat([]byte(" "), 1<<20)
	for left := size; left > 0; left -= len(blank) {
		if _, err := z.Write(blank); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return witness.Stream("/Filter /FlateDecode "+entries, b.String())
}

// Small files that unpack to very much must end with a finding. The time is
// far above what they take, and far below what they would take unbounded.
func TestBombsEnd(t *testing.T) {
	if testing.Short() {
		t.Skip("unpacks gigabytes")
	}
	const patience = 5 * time.Minute // 20 s on an idle machine
	start := time.Now()
	check := func(name, path string, code string) {
		t.Helper()
		p := open(t, path, Options{})
		if !strings.Contains(codes(p), code) {
			t.Errorf("%s: %s", name, codes(p))
		}
		if took := time.Since(start); took > patience {
			t.Errorf("%s took %v", name, took)
		}
		start = time.Now()
	}
	check("content of one stream many times", onePage(t, "/Contents ["+strings.Repeat("4 0 R ", 1000)+"]", bomb(t, "", "0 g", 64<<20)), ContentLong)

	var spaces strings.Builder
	for i := range 1000 {
		fmt.Fprintf(&spaces, "/S%d [/Separation /N%d /DeviceGray 5 0 R] ", i, i)
	}
	check("functions", onePage(t, "/Contents 4 0 R /Resources << /ColorSpace << "+spaces.String()+" >> >>", witness.Stream("", ""),
		bomb(t, "/FunctionType 0 /Domain [0 1] /Range [0 1] /Size [8000000] /BitsPerSample 8", "", 16<<20)), InkUnused)

	more := []string{witness.Stream("", "/P199 cs 0 0 0 1 sc"+box)}
	var profiles strings.Builder
	profile := bomb(t, "/N 4", profileOf("CMYK"), 16<<20)
	for i := range trials.Number(t, "", 20, 200) {
		fmt.Fprintf(&profiles, "/P%d [/ICCBased %d 0 R] ", i, 5+i)
		more = append(more, profile)
	}
	check("profiles", onePage(t, "/Contents 4 0 R /Resources << /ColorSpace << "+profiles.String()+" >> >>", more...), ProfileInvalid)
}
