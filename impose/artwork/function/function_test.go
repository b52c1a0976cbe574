package function

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"quoin/impose/pdfobj"
	"quoin/impose/witness"
)

// parsed reads object 3 of a file whose objects 3, 4, ... are given.
func parsed(t testing.TB, bodies ...string) (*Function, error) {
	t.Helper()
	path := witness.Handwritten(t, append([]string{"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [] /Count 0 >>"}, bodies...)...)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := pdfobj.Open(bytes.NewReader(data), int64(len(data)), pdfobj.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return NewReader(doc, 64<<20).Parse(pdfobj.Ref{Num: 3})
}

func calculator4(program string, in, out int) string {
	return witness.Stream(fmt.Sprintf("/FunctionType 4 /Domain [%s] /Range [%s]",
		strings.Repeat("-1000 1000 ", in), strings.Repeat("-1000 1000 ", out)), program)
}

func TestValues(t *testing.T) {
	half := math.Sqrt(0.5)
	for _, c := range []struct {
		name   string
		bodies []string
		in     []float64
		want   []float64
	}{
		// 7.10.3: y = C0 + x^N (C1 - C0).
		{"type 2", []string{"<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 .2 .9 1] /N 1 >>"}, []float64{.5}, []float64{0, .1, .45, .5}},
		{"type 2, power", []string{"<< /FunctionType 2 /Domain [0 1] /C0 [1] /C1 [0] /N 2 >>"}, []float64{.5}, []float64{.75}},
		{"type 2, defaults", []string{"<< /FunctionType 2 /Domain [0 1] /N 1 >>"}, []float64{.3}, []float64{.3}},
		{"type 2, clipped", []string{"<< /FunctionType 2 /Domain [0 1] /N 1 /C1 [2] /Range [0 1.5] >>"}, []float64{7}, []float64{1.5}},
		{"type 2, 0 to a negative power", []string{"<< /FunctionType 2 /Domain [0 1] /N -1 /C0 [1] /C1 [1] >>"}, []float64{0}, []float64{0}},
		// 7.10.4: which part, and its Encode; a bound belongs to the part above it.
		{"type 3, below", []string{stitch, "<< /FunctionType 2 /Domain [0 1] /N 1 >>", "<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [10] /C1 [20] >>"}, []float64{.2}, []float64{.5}},
		{"type 3, at the bound", []string{stitch, "<< /FunctionType 2 /Domain [0 1] /N 1 >>", "<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [10] /C1 [20] >>"}, []float64{.4}, []float64{20}},
		{"type 3, end", []string{stitch, "<< /FunctionType 2 /Domain [0 1] /N 1 >>", "<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [10] /C1 [20] >>"}, []float64{1}, []float64{10}},
		// 7.10.2: samples are one run of bits, the first input varies fastest.
		{"type 0, 8 bits", []string{witness.Stream("/FunctionType 0 /Domain [0 1] /Range [0 1 0 1] /Size [2] /BitsPerSample 8", "\x00\xff\xff\x00")}, []float64{.25}, []float64{.25, .75}},
		{"type 0, two inputs", []string{witness.Stream("/FunctionType 0 /Domain [0 1 0 1] /Range [0 255] /Size [2 2] /BitsPerSample 8", "\x00\x64\x0a\xff")}, []float64{1, 0}, []float64{100}},
		{"type 0, between", []string{witness.Stream("/FunctionType 0 /Domain [0 1 0 1] /Range [0 255] /Size [2 2] /BitsPerSample 8", "\x00\x64\x0a\x6e")}, []float64{.5, .5}, []float64{55}},
		{"type 0, 4 bits", []string{witness.Stream("/FunctionType 0 /Domain [0 1] /Range [0 15] /Size [3] /BitsPerSample 4", "\x3a\xf0")}, []float64{.5}, []float64{10}},
		{"type 0, 16 bits, decode", []string{witness.Stream("/FunctionType 0 /Domain [0 1] /Range [-9 9] /Decode [0 2] /Size [2] /BitsPerSample 16", "\x00\x00\xff\xff")}, []float64{1}, []float64{2}},
		{"type 0, encode reversed", []string{witness.Stream("/FunctionType 0 /Domain [0 1] /Range [0 1] /Encode [1 0] /Size [2] /BitsPerSample 8", "\x00\xff")}, []float64{0}, []float64{1}},
		{"type 0, one sample", []string{witness.Stream("/FunctionType 0 /Domain [0 1] /Range [0 1] /Size [1] /BitsPerSample 8", "\xff")}, []float64{.4}, []float64{1}},
		// 7.10.5 EXAMPLE 1: (sin(360x) + sin(360y)) / 2.
		{"type 4, the standard's example", []string{calculator4("{ 360 mul sin\n 2 div\n exch 360 mul sin\n 2 div\n add }", 2, 1)}, []float64{.125, .25}, []float64{(half + 1) / 2}},
		{"array of functions", []string{"[4 0 R 5 0 R]", "<< /FunctionType 2 /Domain [0 1] /N 1 >>", "<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [1] /C1 [0] >>"}, []float64{.25}, []float64{.25, .75}},
		{"too few inputs", []string{calculator4("{ add }", 2, 1)}, []float64{3}, []float64{3}},
	} {
		f, err := parsed(t, c.bodies...)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got := f.At(c.in...)
		if len(got) != len(c.want) || f.Outputs() != len(c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
			continue
		}
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 1e-4 {
				t.Errorf("%s: %v, want %v", c.name, got, c.want)
				break
			}
		}
	}
}

const stitch = "<< /FunctionType 3 /Domain [0 1] /Functions [4 0 R 5 0 R] /Bounds [.4] /Encode [0 1 1 0] >>"

// The operators are those of Table 42; what each does is in the PostScript
// Language Reference, 3rd edition, chapter 8, whose examples these are where
// it has one.
func TestOperators(t *testing.T) {
	for program, want := range map[string]string{
		"4.5 abs -3 abs":                      "4.5 3",
		"3 4 add 9.9 1.1 add":                 "7 11",
		"0 1 atan 1 0 atan -100 0 atan":       "0 90 270",
		"3.2 ceiling -4.8 ceiling 99 ceiling": "4 -4 99",
		"0 cos 90 cos 30 sin":                 "1 0 0.5",
		"-47.8 cvi 520.9 cvi 7 cvr":           "-47 520 7",
		"3 2 div 4 2 div":                     "1.5 2",
		"9 0.5 exp -9 -1 exp":                 "3 -0.11111",
		"3.2 floor -4.8 floor":                "3 -5",
		"3 2 idiv 4 2 idiv -5 2 idiv":         "1 2 -2",
		"10 ln 100 log":                       "2.30259 2",
		"5 3 mod 5 2 mod -5 3 mod":            "2 1 -2",
		"3 -2 mul 4.5 neg -3 neg":             "-6 -4.5 3",
		"6.5 round -6.5 round 3.2 round":      "7 -6 3",
		"16 sqrt 5 2 sub":                     "4 3",
		"3.2 truncate -4.8 truncate":          "3 -4",
		"99 1 and 52 7 and 3 5 or 7 3 xor":    "1 4 7 4",
		"7 3 bitshift 142 -3 bitshift":        "56 17",
		"52 not":                              "-53",
		"true not false not true false or":    "0 1 1",
		"true false and true true xor":        "0 0",
		"4.0 4 eq 4 3 ne 4.2 4 ge 4 4 gt":     "1 1 1 0",
		"4.2 4 lt 4 4 le":                     "0 1",
		"1 2 gt { 3 } { 4 } ifelse":           "4",
		"2 1 gt { 3 } { 4 } ifelse":           "3",
		"7 2 1 gt { 8 } if 1 2 gt { 9 } if":   "7 8",
		"1 2 3 2 copy":                        "1 2 3 2 3",
		"1 2 3 0 copy":                        "1 2 3",
		"5 dup 1 2 exch":                      "5 5 2 1",
		"7 8 9 0 index 7 8 9 2 index":         "7 8 9 9 7 8 9 7",
		"7 8 9 3 -1 roll":                     "8 9 7",
		"7 8 9 3 1 roll":                      "9 7 8",
		"7 8 9 3 0 roll":                      "7 8 9",
		"7 8 9 3 -1000000001 roll":            "9 7 8",
		"1 2 pop % a comment\n 3":             "1 3",
		"1{2}pop":                             "",
		"1 0 div 5":                           "1000 5", // beyond the range, clipped
		"true{2}{3}ifelse":                    "2",
	} {
		n := len(strings.Fields(want))
		f, err := parsed(t, calculator4("{ pop "+program+" }", 1, max(n, 1)))
		if n == 0 {
			if err == nil {
				t.Errorf("%s: no error", program)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", program, err)
			continue
		}
		var got []string
		for _, v := range f.At(0) {
			got = append(got, fmt.Sprint(math.Round(v*1e5)/1e5+0))
		}
		if s := strings.Join(got, " "); s != want {
			t.Errorf("%s: %s, want %s", program, s, want)
		}
	}
}

func TestBadProgramsGiveNoPanic(t *testing.T) {
	for _, program := range []string{
		"pop pop pop", "add", "-1 copy", "1e9 copy", "5 index", "-1 index", "3 -1 roll", "-3 1 roll", "1 2 1e300 1 roll",
		"1 0 idiv", "1 0 mod", "-1 sqrt", "-1 ln", "0 0 atan", "1e300 1e300 mul dup sub", "not", "1 1e300 bitshift",
		strings.Repeat("dup ", 10000), strings.Repeat("1 ", 300) + "300 copy",
	} {
		f, err := parsed(t, calculator4("{ "+program+" }", 1, 3))
		if err != nil {
			t.Errorf("%.40s: %v", program, err)
			continue
		}
		for _, v := range f.At(.5) {
			if math.IsNaN(v) || math.Abs(v) > 1000 {
				t.Errorf("%.40s: %v", program, v)
			}
		}
	}
}

func TestWhatIsNoFunction(t *testing.T) {
	nested := []string{"<< /FunctionType 3 /Domain [0 1] /Functions [3 0 R] /Bounds [] /Encode [0 1] >>"}
	for name, bodies := range map[string][]string{
		"null":              {"null"},
		"number":            {"7"},
		"no type":           {"<< /Domain [0 1] >>"},
		"type 1":            {"<< /FunctionType 1 /Domain [0 1] >>"},
		"no domain":         {"<< /FunctionType 2 /N 1 >>"},
		"odd domain":        {"<< /FunctionType 2 /N 1 /Domain [0 1 2] >>"},
		"reversed domain":   {"<< /FunctionType 2 /N 1 /Domain [1 0] >>"},
		"bad range":         {"<< /FunctionType 2 /N 1 /Domain [0 1] /Range [1] >>"},
		"two inputs":        {"<< /FunctionType 2 /N 1 /Domain [0 1 0 1] >>"},
		"C0 and C1":         {"<< /FunctionType 2 /N 1 /Domain [0 1] /C0 [1] /C1 [1 2] >>"},
		"itself":            nested,
		"no bounds":         {"<< /FunctionType 3 /Domain [0 1] /Functions [4 0 R] /Encode [0 1] >>", "<< /FunctionType 2 /N 1 /Domain [0 1] >>"},
		"no stream":         {"<< /FunctionType 0 /Domain [0 1] /Range [0 1] /Size [2] /BitsPerSample 8 >>"},
		"samples missing":   {witness.Stream("/FunctionType 0 /Domain [0 1] /Range [0 1] /Size [9] /BitsPerSample 8", "abc")},
		"7 bits":            {witness.Stream("/FunctionType 0 /Domain [0 1] /Range [0 1] /Size [2] /BitsPerSample 7", "abc")},
		"size 0":            {witness.Stream("/FunctionType 0 /Domain [0 1] /Range [0 1] /Size [0] /BitsPerSample 8", "abc")},
		"huge":              {witness.Stream("/FunctionType 0 /Domain [0 1 0 1 0 1] /Range [0 1] /Size [99999 99999 99999] /BitsPerSample 8", "abc")},
		"size NaN":          {witness.Stream("/FunctionType 0 /Domain [0 1] /Range [0 1] /Size [-1e38] /BitsPerSample 8", "abc")},
		"no brace":          {calculator4("1 2 add", 1, 1)},
		"no end":            {calculator4("{ 1 2 add", 1, 1)},
		"unknown operator":  {calculator4("{ quit }", 1, 1)},
		"if without block":  {calculator4("{ true if }", 1, 1)},
		"block unused":      {calculator4("{ { 1 } }", 1, 1)},
		"block then number": {calculator4("{ { 1 } 2 if }", 1, 1)},
		"deep":              {calculator4(strings.Repeat("{", 100000), 1, 1)},
		"empty array":       {"[]"},
		"array of others":   {"[1 2]"},
	} {
		if f, err := parsed(t, bodies...); !errors.Is(err, ErrFunction) {
			t.Errorf("%s: %v, %v", name, f, err)
		}
	}
}

// Sixteen functions that share their parts and unfold to 4^15.
func TestFunctionsThatUnfoldHitTheBudget(t *testing.T) {
	var bodies []string
	for i := range 15 {
		next := fmt.Sprintf("%d 0 R ", 4+i)
		bodies = append(bodies, "<< /FunctionType 3 /Domain [0 1] /Bounds [.2 .4 .6] /Encode [0 1 0 1 0 1 0 1] /Functions ["+strings.Repeat(next, 4)+"] >>")
	}
	bodies = append(bodies, "<< /FunctionType 2 /Domain [0 1] /N 1 >>")
	if f, err := parsed(t, bodies...); !errors.Is(err, pdfobj.ErrBudget) {
		t.Errorf("%v, %v", f, err)
	}
}
