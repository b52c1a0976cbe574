package say

import (
	"errors"
	"fmt"
	"slices"
	"testing"
)

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Number(0), "0"}, {Number(999), "999"}, {Number(1000), "1,000"}, {Number(int64(-123456)), "-123,456"}, {Number(-999), "-999"},
		{Number(100_000), "100,000"}, {Number(int64(1_234_567_890)), "1,234,567,890"},
		{Digits(3.175), "3.175"}, {Digits(3), "3"}, {Digits(0.396875), "0.397"}, {Digits(1.5875), "1.588"}, {Digits(-1.5875), "-1.588"}, {Digits(12.0625), "12.063"}, {Decimals(3.175, 2), "3.18"}, {Fixed(0, 1), "0.0"}, {Digits(-0.0001), "0"}, {Digits(1_016.275), "1016.275"}, {MM(10_000), "10000 mm"},
		{MM(25.4 / 64), "0.397 mm"}, {MM(317.5), "317.5 mm"}, {Metres(12.5), "12.5 m"}, {Metres(1234.0004), "1,234 m"}, {Pair(50, 76.2), "50 x 76.2 mm"},
		{Fixed(12345.678, 1), "12,345.7"}, {Fixed(-0.5, 1), "-0.5"}, {Fixed(-0.04, 1), "0.0"}, {Signed(-0.04, 1), "0.0"}, {Signed(3.84, 1), "+3.8"}, {Signed(-3.84, 1), "-3.8"}, {Fixed(999.96, 1), "1,000.0"}, {Fixed(-1234.5, 2), "-1,234.50"},
		{Amount(99.999), "100.00"}, {Rough(0.2540001, 3), "0.254"}, {Rough(1234567, 3), "1230000"}, {Rough(12, 4), "12"}, {Amount(1234.56), "1,234.6"}, {Amount(12345.6), "12,346"}, {Amount(-3), "-3.00"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestWords(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Count(1, "lane"), "1 lane"}, {Count(0, "lane"), "0 lanes"}, {Count(int64(100_000), "label"), "100,000 labels"},
		{Count(2, "patch"), "2 patches"}, {Count(2, "cross"), "2 crosses"}, {Count(2, "box"), "2 boxes"}, {Count(2, "entry"), "2 entries"},
		{Count(2, "day"), "2 days"}, {Count(3, "printing ink"), "3 printing inks"}, {CountOf(2, "die", "dice"), "2 dice"},
		{List(nil), ""}, {List([]string{"a"}), "a"}, {List([]string{"a", "b"}), "a and b"}, {Either([]string{"a", "b", "c"}), "a, b or c"},
		{Title("lane"), "Lane"}, {Title(""), ""}, {DidYouMean("blead", []string{"bleed"}, "no"), "did you mean bleed?"}, {DidYouMean("x", nil, "no"), "no"},
		{Shortened("a long name", 8), "a lon..."}, {Shortened("short", 8), "short"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestTable(t *testing.T) {
	var left Table
	left.Add("Überzug", "1", "x")
	left.Add("a", "100")
	if got, want := left.Lines(), []string{"Überzug  1    x", "a        100"}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	right := Table{Right: true}
	right.Add("a", "1")
	right.Add("bc", "100", "")
	if got, want := right.Lines(), []string{"a     1", "bc  100"}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestNotes(t *testing.T) {
	var n Notes
	n.Add("a", "%d", 1)
	n.Add("a", "%d", 1)
	n.Add("a", "%d", 2)
	if want := (Notes{{"a", "1"}, {"a", "2"}}); !slices.Equal(n, want) {
		t.Errorf("got %v, want %v", n, want)
	}
}

// TestRefusals finds the outermost kind and the nearest way out of a chain.
func TestRefusals(t *testing.T) {
	inner := Refuse(NotFit, "use fewer", "%d inks", 9)
	bare := &Refusal{Kind: BadFile, Text: "order 7", Err: inner}
	silent := &Refusal{Err: inner}
	for _, c := range []struct {
		err        error
		kind       Kind
		text, hint string
	}{
		{inner, NotFit, "9 inks", "use fewer"},
		{bare, BadFile, "order 7: 9 inks", "use fewer"},
		{silent, NotFit, "9 inks", "use fewer"},
		{fmt.Errorf("run 1: %w", bare), BadFile, "run 1: order 7: 9 inks", "use fewer"},
		{errors.Join(errors.New("disk"), inner), NotFit, "disk\n9 inks", "use fewer"},
		{errors.New("disk"), Failed, "disk", ""},
		{nil, Failed, "", ""},
	} {
		if got := KindOf(c.err); got != c.kind {
			t.Errorf("%v: got the kind %q, want %q", c.err, got, c.kind)
		}
		if c.err == nil {
			continue
		}
		if c.err.Error() != c.text || Hint(c.err) != c.hint {
			t.Errorf("got %q with the hint %q, want %q with %q", c.err, Hint(c.err), c.text, c.hint)
		}
		if got := WithHint(c.err); c.hint != "" && got != c.text+" ("+c.hint+")" {
			t.Errorf("got %q with its hint", got)
		}
	}
}
