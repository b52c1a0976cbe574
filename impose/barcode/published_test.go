package barcode

import (
	"fmt"
	"strings"
	"testing"
)

// TV-B9. Data, check codewords and mask of "01234567" 1-M: ISO/IEC 18004
// annex I, as several public test suites of readers quote it.
func TestQRAnnexI(t *testing.T) {
	e := encoderFor(t, QR, Options{})
	s := encoded(t, e, "01234567")
	got := strings.TrimSpace(fmt.Sprintf("% X", e.qr.words))
	if want := "10 20 0C 56 61 80 EC 11 EC 11 EC 11 EC 11 EC 11 A5 24 D4 C1 ED 36 C7 87 2C 55"; got != want {
		t.Errorf("codewords %s\n      want %s", got, want)
	}
	// The format information beside the upper left finder, from its highest
	// bit: level M is 00, the mask 010, and the whole is turned over by 10101.
	mask := 0
	for i, at := range [][2]int{{2, 8}, {3, 8}, {4, 8}} {
		if s.Grid.Dark(at[0], at[1]) {
			mask |= 4 >> i
		}
	}
	if mask ^= 0b101; mask != 0b010 {
		t.Errorf("mask %03b, want 010\n%s", mask, &s.Grid)
	}
}

// TV-B10 is the sample of ISO/IEC 16022; it and TV-B11 stand in the public
// tests of readers (ZXing, datamatrix encoder). TV-B12 was calculated by code
// that passes both.
func TestDataMatrixCodewords(t *testing.T) {
	for _, c := range []struct {
		kind       Kind
		data, want string
		side       int
	}{
		{DataMatrix, "123456", "142 164 186 114 25 5 88 102", 10},
		{DataMatrix, "A", "66 129 70 138 234 82 82 95", 10},
		{GS1DataMatrix, "(01)03453120000011(17)191125(10)ABCD1234",
			"232 131 133 175 161 150 130 130 141 147 149 141 155 140 66 67 68 69 142 164 129 118" +
				" 255 4 53 128 255 2 218 96 83 214 194 16 146 194 131 16 241 255", 20},
	} {
		e := encoderFor(t, c.kind, Options{})
		s := encoded(t, e, c.data)
		if got := strings.Trim(fmt.Sprint(e.words), "[]"); got != c.want {
			t.Errorf("%q\n got %s\nwant %s", c.data, got, c.want)
		}
		if s.Grid.Cols != c.side {
			t.Errorf("%q: %d modules along a side, want %d", c.data, s.Grid.Cols, c.side)
		}
	}
}

// TV-B7 and TV-B8, two well-known public examples, recomputed by hand: sums
// 878 and 1740.
func TestCheck128(t *testing.T) {
	for want, words := range map[byte][]byte{
		54: {103, 48, 42, 42, 17, 18, 19, 35},       // start A, PJJ123C
		92: {105, 102, 42, 18, 40, 20, 50, 101, 16}, // start C, FNC1, 42184020500
	} {
		if got := check128(words); got != want {
			t.Errorf("%v: %d, want %d", words, got, want)
		}
	}
}

// The encoder takes as many characters as the published examples; where it has
// the choice it stays in set B.
func TestCode128Words(t *testing.T) {
	for _, c := range []struct {
		kind Kind
		data string
		want []byte
	}{
		{Code128, "PJJ123C", []byte{104, 48, 42, 42, 17, 18, 19, 35}},
		{GS1128, "(421)84020500", []byte{105, 102, 42, 18, 40, 20, 50, 100, 16}},
		// Worked by hand: pairs pay from four digits on at an end, six inside.
		{Code128, "1234", []byte{105, 12, 34}},
		{Code128, "A1234", []byte{104, 33, 99, 12, 34}},
		{Code128, "A12B", []byte{104, 33, 17, 18, 34}},
		{Code128, "a\tb", []byte{104, 65, 98, 73, 66}}, // one control: a shift
		{Code128, "ab\t\t\tB", []byte{104, 65, 66, 101, 73, 73, 73, 34}},
	} {
		e := encoderFor(t, c.kind, Options{})
		encoded(t, e, c.data)
		if string(e.code128.words) != string(c.want) {
			t.Errorf("%q: %d, want %d", c.data, e.code128.words, c.want)
		}
	}
}

// Every pattern has eleven modules, an even number of them dark, and no two are
// alike (ISO/IEC 15417 4.3.2).
func TestWidths128(t *testing.T) {
	seen := map[string]bool{}
	for i, p := range widths128[:stop128] {
		sum, dark := 0, 0
		for j, c := range p {
			sum += int(c - '0')
			if j%2 == 0 {
				dark += int(c - '0')
			}
		}
		if sum != 11 || dark%2 != 0 || seen[p] || len(p) != 6 {
			t.Errorf("pattern %d, %s: %d modules, %d dark", i, p, sum, dark)
		}
		seen[p] = true
	}
}

func TestElements(t *testing.T) {
	for text, want := range map[string]string{
		"(01)09501101530003(17)250101(10)AB-123": "0109501101530003" + "17250101" + "10AB-123",
		"(10)AB-123(01)09501101530003":           "10AB-123\x1d" + "0109501101530003",
		"(21)A(b)1(3103)001500(95)x":             "21A(b)1\x1d" + "3103001500" + "95x",
	} {
		if got, err := elementsOf(text); err != nil || string(got) != want {
			t.Errorf("%s: %q, %v", text, got, err)
		}
	}
	for text, want := range map[string]string{
		"0109501101530003":       "parentheses",
		"(01)09501101530004":     "check digit 4",
		"(01)0950110153000":      "13 characters, not 14",
		"(17)251301":             "is no day",
		"(10)":                   "0 characters, not 1 to 20",
		"(10)ab c":               "' '",
		"(3189)001500":           "(3189)",
		"(1)2":                   `"(1)"`,
		"(00)10614141234567890A": "'A'",
	} {
		if _, err := elementsOf(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want an error with %q", text, err, want)
		}
	}
}

func encoderFor(t testing.TB, k Kind, o Options) *Encoder {
	t.Helper()
	e, err := NewEncoder(k, o)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func encoded(t testing.TB, e *Encoder, data string) *Symbol {
	t.Helper()
	s, err := e.Encode(data)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// elementsOf gives what a symbol holds of element strings.
func elementsOf(text string) ([]byte, error) {
	e, err := NewEncoder(GS1DataMatrix, Options{})
	if err != nil {
		return nil, err
	}
	err = e.elements(text)
	return e.elems, err
}
