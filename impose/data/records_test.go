package data_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"quoin/impose/checkdigit"
	"quoin/impose/data"
)

func file(t testing.TB, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "codes.csv")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func open(t testing.TB, d data.Definition) *data.Records {
	t.Helper()
	r, err := data.Open(d)
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Scan(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	return r
}

// all reads records from number n to the end.
func all(t testing.TB, r *data.Records, n int64) (list []string) {
	t.Helper()
	rd, err := r.From(n)
	if err != nil {
		t.Fatal(err)
	}
	for {
		values, err := rd.Next()
		if err == io.EOF {
			return list
		}
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, strings.Join(values, "|"))
	}
}

func TestWaysToWriteATable(t *testing.T) {
	for name, text := range map[string]string{
		"plain":         "code,name\n1,ä\n2,\"b,\"\"c\"\"\"\n",
		"mark":          "\ufeffcode,name\n1,ä\n2,\"b,\"\"c\"\"\"\n",
		"semicolons":    "code;name\r\n1;ä\r\n2;\"b,\"\"c\"\"\"\r\n",
		"tabs":          "code\tname\n1\tä\n2\t\"b,\"\"c\"\"\"",
		"marked, tabs":  "\ufeffcode\tname\n1\tä\n\n2\t\"b,\"\"c\"\"\"",
		"spaced header": " code , name\n1,ä\n2,\"b,\"\"c\"\"\"\n",
	} {
		r := open(t, data.Definition{File: file(t, text)})
		if got := fmt.Sprint(r.Names, all(t, r, 1)); got != `[code name] [1|ä 2|b,"c"]` {
			t.Errorf("%s: %s", name, got)
		}
	}
}

func TestFaultsHaveTheirPlaces(t *testing.T) {
	gtin := []data.Digits{{Column: "gtin", Scheme: checkdigit.GS1}}
	for _, c := range []struct {
		text, want string
		digits     []data.Digits
	}{
		{"gtin,n\n9501101530003,1\n9501101530004,2\n", `codes.csv:3: record 2: gtin: "9501101530004" ends in the check digit 4`, gtin},
		// The name takes two lines, so record 2 is in line 4.
		{"gtin,n\n79927398713,\"1\n1\"\n12x,2\n", `codes.csv:4: record 2: gtin: "12x" doesn't end in a check digit`, []data.Digits{{Column: "gtin", Scheme: checkdigit.Luhn}}},
		{"a,b\n1,2\n3\n", "codes.csv:3: has 1 cells, and there are 2 columns", nil},
		{"a,b\n1,\"2\n", "codes.csv:2: is not CSV", nil},
		{"a,b\n1,\xff\n", "codes.csv:2: b: is not UTF-8", nil},
		{"a,a\n1,2\n", `the column "a" is here twice`, nil},
		{"a,\n1,2\n", "column 2 has no name", nil},
		{"", "is empty", nil},
		{"a\n", "has no rows", nil},
		{"\xff\xfea\x00", "UTF-16", nil},
		{"a\n1\n", "no such column", gtin},
		{"a\n1\n\n2\n", "codes.csv:3: is blank", nil},
		{"a\n\"1\n1\"\r\n\r\n2\n", "codes.csv:4: is blank", nil},
		{"a\n\n1\n", "codes.csv:2: is blank", nil},
	} {
		r, err := data.Open(data.Definition{File: file(t, c.text), Digits: c.digits})
		if err == nil {
			err = r.Scan(context.Background(), nil)
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %s", c.text, err, c.want)
		}
		var f *data.Fault
		if !errors.As(err, &f) {
			t.Errorf("%q: %T is no fault", c.text, err)
		}
	}
}

// A wrong cell far down is named by the line it stands in, also for a reader
// that began in the middle.
func TestLinesCountFromAnywhere(t *testing.T) {
	var b strings.Builder
	b.WriteString("n,text\n")
	for i := 1; i <= 10_000; i++ {
		fmt.Fprintf(&b, "%d,\"two\nlines\"\n", i)
		if i%1000 == 0 {
			b.WriteString("\n")
		}
	}
	r := open(t, data.Definition{File: file(t, b.String())})
	for _, n := range []int64{1, 2, 4096, 4097, 4098, 9999} {
		rd, err := r.From(n)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := rd.Next(); err != nil {
			t.Fatal(err)
		}
		want := fmt.Sprintf("codes.csv:%d: record %d: odd", 2*n+(n-1)/1000, n)
		if err := rd.Fault(errors.New("odd")); !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %s", err, want)
		}
	}
}

// Reading from record n on gives the same as reading all and leaving out the
// first ones.
func TestFromAnywhere(t *testing.T) {
	var b strings.Builder
	b.WriteString("n;x\n")
	for i := range 9000 {
		fmt.Fprintf(&b, "%d;%s\n", i, strings.Repeat("x", i%7))
	}
	r := open(t, data.Definition{File: file(t, b.String()), Counters: []data.Counter{{Name: "c", Start: 7, Step: 3, Pad: 6, Check: checkdigit.GS1}}})
	whole := all(t, r, 1)
	if len(whole) != 9000 || r.Count != 9000 {
		t.Fatalf("%d records", len(whole))
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(1, 9000).Draw(t, "n")
		rd, err := r.From(n)
		if err != nil {
			t.Fatal(err)
		}
		values, err := rd.Next()
		if err != nil || strings.Join(values, "|") != whole[n-1] {
			t.Fatalf("record %d: %v, want %s", n, values, whole[n-1])
		}
	})
	if _, err := r.From(9001); err == nil {
		t.Error("record 9001 of 9000 is read, want an error")
	}
	l := r.Lookup()
	for n := int64(9000); n > 0; n -= 37 {
		if values, err := l.Get(n); err != nil || strings.Join(values, "|") != whole[n-1] {
			t.Fatalf("record %d is looked up as %q, %v", n, values, err)
		}
	}
	for _, n := range []int64{0, 9001} {
		if _, err := l.Get(n); err == nil {
			t.Errorf("record %d of 9000 was found", n)
		}
	}
	if err := r.Place(5000, errors.New("odd")); !strings.Contains(err.Error(), "codes.csv:5001: record 5000: odd") {
		t.Error(err)
	}
}

// Worked by hand: 5, 15, 25 with check digits 5*3=15 -> 5, 5*3+1=16 -> 4,
// 5*3+2=17 -> 3.
func TestCounter(t *testing.T) {
	r := open(t, data.Definition{Count: 3, Counters: []data.Counter{
		{Name: "a", Start: 5, Step: 10, Pad: 3, Check: checkdigit.GS1}, {Name: "b", Start: 9, Step: -1}, {Name: "c"},
	}})
	if got := fmt.Sprint(all(t, r, 1)); got != "[0055|9|0 0154|8|1 0253|7|2]" {
		t.Error(got)
	}
	for want, c := range map[string]data.Counter{
		"more than 3 digits": {Name: "n", Start: 999, Pad: 3},
		"leaves the numbers": {Name: "n", Start: 1, Step: -1},
		"leaves the num":     {Name: "n", Start: 1, Step: 1 << 62},
		"need":               {},
		"no check digit":     {Name: "n", Check: "mod 7"},
	} {
		r, err := data.Open(data.Definition{Count: 3, Counters: []data.Counter{c}})
		if err == nil {
			err = r.Scan(context.Background(), nil)
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v, want %q", c, err, want)
		}
	}
}

func TestTemplate(t *testing.T) {
	names, values := []string{"lot", "n"}, []string{"A7", "0042"}
	for text, want := range map[string]string{
		"Lot {lot}, no. { n }": "Lot A7, no. 0042", "{{{lot}}}": "{A7}", "plain": "plain", "{n}{n}": "00420042", "": "",
	} {
		tm, err := data.ParseTemplate(text, names)
		if err != nil {
			t.Error(err)
			continue
		}
		if got := string(tm.Append(nil, values)); got != want {
			t.Errorf("%q gives %q, want %q", text, got, want)
		}
	}
	for _, bad := range []string{"{", "}", "{lot", "lot}", "{none}", "{}", "a{{{"} {
		if _, err := data.ParseTemplate(bad, names); err == nil {
			t.Errorf("%q passed", bad)
		}
	}
}

// Any file at all gives records or a fault, and records that are read from the
// middle are those that were scanned.
func TestAnyFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "any.csv")
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(
			rapid.StringMatching(`[ab,;"\n\t\r ]{0,60}`),
			rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }),
		).Draw(t, "text")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		r, err := data.Open(data.Definition{File: path})
		if err != nil {
			return
		}
		var seen []string
		err = r.Scan(context.Background(), func(values []string) error {
			seen = append(seen, strings.Join(values, "|"))
			return nil
		})
		if err != nil {
			return
		}
		l := r.Lookup()
		for n := r.Count; n > 0; n-- {
			values, err := l.Get(n)
			if err != nil || strings.Join(values, "|") != seen[n-1] {
				t.Fatalf("record %d is %q, %v; it was %q", n, values, err, seen[n-1])
			}
		}
	})
}

// BenchmarkRecords prints rows as a multiple of the 150 labels a second that
// the press prints.
func BenchmarkRecords(b *testing.B) {
	var text strings.Builder
	text.WriteString("gtin,lot,url\n")
	for i := range 100_000 {
		fmt.Fprintf(&text, "9501101530003,A%d,https://example.com/q/%08d\n", i%50, i)
	}
	path := file(b, text.String())
	b.ReportAllocs()
	rows := int64(0)
	for b.Loop() {
		r := open(b, data.Definition{File: path, Digits: []data.Digits{{Column: "gtin", Scheme: checkdigit.GS1}}})
		rows += r.Count
	}
	b.ReportMetric(float64(rows)/b.Elapsed().Seconds()/150, "x-press")
}

// What is printed is what was checked: a file that is overwritten with as many
// bytes between the check and the reading is refused, wherever it differs.
func TestAFileThatChangesIsRefused(t *testing.T) {
	var b strings.Builder
	b.WriteString("code\n")
	for i := range 9000 {
		fmt.Fprintf(&b, "%05d\n", i)
	}
	for record, changed := range map[int64]string{
		1: strings.Replace(b.String(), "00001", "00010", 1), 4097: strings.Replace(b.String(), "04100", "04101", 1),
		9000: strings.TrimSuffix(b.String(), "08999\n"), 8193: "code\n",
	} {
		d := data.Definition{File: file(t, b.String())}
		r := open(t, d)
		look := r.Lookup()
		if _, err := look.Get(record); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(d.File, []byte(changed), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := r.Lookup().Get(record); err == nil || !strings.Contains(err.Error(), "has changed since its records were checked") {
			t.Errorf("record %d: %v", record, err)
		}
	}
}

// A cell of ten megabytes is not printed on the operator's screen.
func TestFaultsAreShort(t *testing.T) {
	long := strings.Repeat("9", 10<<20)
	for _, text := range []string{"gtin\n" + long + "x\n", long + "\n1\n"} {
		r, err := data.Open(data.Definition{File: file(t, text), Digits: []data.Digits{{Column: "gtin", Scheme: checkdigit.GS1}}})
		if err == nil {
			err = r.Scan(context.Background(), nil)
		}
		var f *data.Fault
		if !errors.As(err, &f) || len(f.Error()) > 1000 || len(f.Hint()) > 1000 {
			t.Errorf("%.80q and so on, %d bytes", err, len(fmt.Sprint(err)))
		}
	}
}
