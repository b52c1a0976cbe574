package pdfobj

import (
	"strings"
	"testing"
)

// parse returns the text that the writer gives to what the parser read.
func parse(t *testing.T, text string) string {
	t.Helper()
	p := parser{lexer: newBytesLexer([]byte(text)), maxDepth: 100}
	o, err := p.object(0)
	if err != nil {
		return "error: " + err.Error()
	}
	out, err := AppendObject(nil, o)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	return string(out)
}

// What is legal follows ISO 32000-1, 7.2 and 7.3. What is not follows what
// readers in the field make of it (common practice, no source).
func TestParse(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		// 7.3.3, numbers
		{"123", "123"}, {"+17", "17"}, {"-98", "-98"}, {"0", "0"}, {"-0", "0"},
		{"34.5", "34.5"}, {"-3.62", "-3.62"}, {"4.", "4"}, {"-.002", "-.002"}, {"+.5", ".5"}, {"0.0", "0"},
		{"--3", "-3"}, {"4.-5", "4.5"}, {"1-2", "12"}, {"-", "0"}, {".", "0"}, {"[1.2.3]", "[1.2 .3]"},
		{"9223372036854775807", "9223372036854775807"}, {"9223372036854775808", "9223372036854776000"},
		{"1e2", "100"}, {"6.1e-17", ".000000000000000061"}, {"[1rg 2]", "[1 2]"},
		{strings.Repeat("9", 500), "340282346638528860000000000000000000000"},
		{"0." + strings.Repeat("0", 5000) + "1", "0"},
		// 7.3.4, strings
		{"(This is a string)", "(This is a string)"}, {"()", "()"},
		{"(balanced (parentheses) are fine)", `(balanced \(parentheses\) are fine)`},
		{"(a\\\nb)", "(ab)"}, {"(a\\\r\nb)", "(ab)"}, {"(a\rb)", "<610A62>"}, {"(a\r\nb)", "<610A62>"},
		{`(\n\r\t\b\f)`, "<0A0D09080C>"}, {`(\(\)\\\z)`, `(\(\)\\z)`}, {`(\0053\53\5)`, "<05332B05>"}, {`(\777)`, "<FF>"},
		{"(open", "(open)"}, {`(open\`, "(open)"},
		{"<4E6F76>", "(Nov)"}, {"<901FA>", "<901FA0>"}, {"<4 E\n6 F7 6>", "(Nov)"}, {"<4 E6\t>", "(N`)"}, {"<4x8>", "(H)"}, {"<>", "()"}, {"<48", "(H)"},
		// 7.3.5, names
		{"/A;Name_With-Various***Characters?", "/A;Name_With-Various***Characters?"},
		{"/lime#20Green", "/lime#20Green"}, {"/paired#28#29parentheses", "/paired#28#29parentheses"},
		{"/The_Key_of_F#23_Minor", "/The_Key_of_F#23_Minor"}, {"/A#42", "/AB"}, {"/", "/"},
		{"/Gold#C2#A0Foil", "/Gold#C2#A0Foil"}, {"/Gold\xc2\xa0Foil", "/Gold#C2#A0Foil"}, {"/A#G1", "/A#23G1"}, {"/A#4", "/A#234"}, {"/#00", "/#00"},
		// 7.3.6 and 7.3.7
		{"[549 3.14 false (Ralph) /SomeName]", "[549 3.14 false(Ralph)/SomeName]"},
		{"<</A 1/B[1 2]/C<</D null>>>>", "<</A 1/B[1 2]/C<<>>>>"}, {"<</A 1/A 2>>", "<</A 2>>"}, {"<</A 1/A null>>", "<<>>"},
		{"<</A%comment\n1%another\r/B 2>>", "<</A 1/B 2>>"}, {"[null true]", "[null true]"},
		{"<</A 1 2 /B 3>>", "<</A 1/B 3>>"}, {"<</A>>", "<<>>"}, {"<</A /B>>", "<</A/B>>"}, {"<</A 1", "<</A 1>>"}, {"[1 2", "[1 2]"},
		{"<</A[1 2>>", "<</A[1 2]>>"}, {"<</A 1 endobj", "<</A 1>>"}, {"<</A junk/B 2>>", "<</B 2>>"}, {"<</A ]/B 2>>", "<</B 2>>"},
		{"[1 junk 2]", "[1 2]"}, {"<</ 1/B 2>>", "<</ 1/B 2>>"}, {"[)1}]", "[1]"},
		// 7.3.10, references
		{"[12 0 R 1 2 3 4 0 R]", "[12 0 R 1 2 3 4 0 R]"}, {"12 0 R", "12 0 R"}, {"[1 0 RG]", "[1 0]"}, {"[1%\n0%\nR]", "[1 0 R]"},
		{"[0 0 R]", "[null]"}, {"[-1 0 R]", "[-1 0]"}, {"[1 65536 R]", "[1 65536]"}, {"[9999999999 0 R]", "[null]"},
		{"]", "error: an object was expected"}, {"", "error: an object was expected"}, {"endobj", "error: an object was expected"},
		{strings.Repeat("[", 200), "error: objects are nested too deeply"},
		{strings.Repeat("<</A", 200), "error: objects are nested too deeply"},
	} {
		if got := parse(t, c.in); got != c.want {
			t.Errorf("%.60q: got %s, want %s", c.in, got, c.want)
		}
	}
}

func TestTokenTooLong(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	long := strings.Repeat("4", maxString+1)
	for _, text := range []string{"(" + long + ")", "<" + long + long + ">", "/" + long} {
		if got := parse(t, text); got != "error: "+errTokenTooLong.Error() {
			t.Errorf("%.10q: %.80s", text, got)
		}
	}
}

func TestTooManyItems(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	if got := parse(t, "["+strings.Repeat("0 ", maxItems+1)+"]"); !strings.HasPrefix(got, "error: "+ErrBudget.Error()) {
		t.Errorf("%.80s", got)
	}
}

// A token must read the same wherever the window of the lexer ends.
func TestLexerWindow(t *testing.T) {
	const text = "<</Name#20One(str\\(ing\\051)/B[12 0 R -3.5<4E 6F>%c\n]/C true>>"
	want := parse(t, text)
	for pad := window - len(text) - 2; pad < window+2; pad++ {
		source := strings.NewReader(strings.Repeat(" ", pad) + text)
		p := parser{lexer: newLexer(source), maxDepth: 10}
		o, err := p.object(0)
		if err != nil {
			t.Fatal(err)
		}
		got, err := AppendObject(nil, o)
		if err != nil || string(got) != want {
			t.Fatalf("after %d blanks: %s, %v", pad, got, err)
		}
	}
}
