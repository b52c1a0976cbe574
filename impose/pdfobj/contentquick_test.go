package pdfobj

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// operationsOf scans content to its end.
func operationsOf(t testing.TB, content string) (list []Operation) {
	t.Helper()
	c := NewContentScanner(strings.NewReader(content))
	for c.Next() {
		list = append(list, c.Operation())
	}
	if c.Err() != nil {
		t.Fatal(c.Err())
	}
	return list
}

// TestQuickReadsAsTheLexerDoes scans the same tokens twice, the second time
// with a comment behind each, which keeps the quick way out.
func TestQuickReadsAsTheLexerDoes(t *testing.T) {
	odd := []string{"0", "-0", "-0.0", "+1", "5.", ".5", "-.5", "--3", "4.-5", "1.2.3", "1e5", "1E-3", "1rg", "00012", "-", ".", "-.",
		"999999999999999", "9999999999999999", "0.000000000000001", "123456789.123456", "1234567890.1234567", "99999999999999999999",
		"/Name", "(text)", "<41>", "[1 2]", "<< /A 1 >>", "true", "null", "f*", "b*", "T*", "'", "\"", "BDC", "xyzzy", "m", "re", "cm", "k", "scn", "gs", "Tf"}
	random := rand.New(rand.NewPCG(7, 7))
	for range 300 {
		var tokens []string
		for range 400 {
			switch random.IntN(4) {
			case 0:
				tokens = append(tokens, odd[random.IntN(len(odd))])
			case 1:
				tokens = append(tokens, strconv.Itoa(random.IntN(2000)-1000))
			default:
				tokens = append(tokens, strconv.FormatFloat(random.Float64()*2000-1000, 'f', random.IntN(9), 64))
			}
		}
		quick, slow := operationsOf(t, strings.Join(tokens, " ")), operationsOf(t, strings.Join(tokens, " %\n")+" %")
		if !reflect.DeepEqual(quick, slow) {
			for i := range min(len(quick), len(slow)) {
				if !reflect.DeepEqual(quick[i], slow[i]) {
					t.Fatalf("operation %d: %v, want %v", i, quick[i], slow[i])
				}
			}
			t.Fatalf("%d operations, want %d", len(quick), len(slow))
		}
	}
}

func TestReuseOverwritesOperands(t *testing.T) {
	c := NewContentScanner(strings.NewReader("1 2 m 3 4 l"))
	c.Reuse = true
	c.Next()
	first := c.Operation()
	c.Next()
	if second := c.Operation(); second.Operator != "l" || second.Operands[0] != Object(Integer(3)) || first.Operands[0] != Object(Integer(3)) {
		t.Errorf("%v after %v", second, first)
	}
}

func BenchmarkContent(b *testing.B) {
	content := strings.Repeat("0.25 -13.875 m\n100.5 20 l\n1 2.5 3.25 4.125 5.0625 6 c\nh\nf\n0 .5 .9 0 k\n", 20_000)
	b.SetBytes(int64(len(content)))
	for b.Loop() {
		c := NewContentScanner(strings.NewReader(content))
		c.Reuse = true
		for c.Next() {
		}
	}
}

// TestPlainNumbersAreTheOperands: what is given as numbers is what would have been
// given as operands, also beside names and strings.
func TestPlainNumbersAreTheOperands(t *testing.T) {
	const content = "1 -2.5 m 0 .5 1e1 0 k h 9 10.5 l /P 3 4 scn 5 6 /P scn [1 2] 3 d q -0.0 7 l (a) Tj 8"
	want := operationsOf(t, content)
	c := NewContentScanner(strings.NewReader(content))
	c.Plain = true
	plain := 0
	for i, w := range want {
		if !c.Next() {
			t.Fatalf("%d operations, want %d: %v", i, len(want), c.Err())
		}
		got := c.Operation()
		var values []Object
		for i, o := range w.Operands {
			if len(got.Operands) > 0 {
				break
			}
			if v, ok := o.(Integer); ok {
				o = Real(v)
			}
			values = append(values, o)
			if i >= len(got.Numbers) || o != Object(Real(got.Numbers[i])) {
				t.Errorf("%s: number %d of %v, want %v", w.Operator, i, got.Numbers, w.Operands)
			}
		}
		if len(values) > 0 {
			plain++
		} else if !reflect.DeepEqual(got.Operands, w.Operands) || len(got.Numbers) > 0 {
			t.Errorf("%s: %v, want %v", w.Operator, got, w.Operands)
		}
		if got.Operator != w.Operator {
			t.Errorf("%s, want %s", got.Operator, w.Operator)
		}
	}
	if c.Next() || plain != 1 {
		t.Errorf("%d plain operations", plain)
	}
}

// built is what stands in a content: operators, with the paths before them as boxes,
// whoever made those.
func built(t *testing.T, content string, paths bool) (list []string) {
	t.Helper()
	c := NewContentScanner(strings.NewReader(content))
	c.Reuse, c.Plain, c.Paths = true, true, paths
	var all Path
	for c.Next() {
		op := c.Latest()
		if p := op.Path; p.Operators > 0 {
			all.join(p)
		}
		values := op.Numbers
		if len(op.Operands) > 0 {
			values = nil
			for i := range op.Operands {
				values = append(values, NumberAt(op.Operands, i))
			}
		}
		var q quickNumbers
		if len(op.Operator) == 1 && len(values) < mostQuick {
			copy(q.values[:], values)
			all.Operators = 0 // it is bounded
			if all.addSegment(op.Operator[0], &q, len(values)) {
				continue
			}
		}
		left, bottom, right, top, ok := all.Box()
		list = append(list, fmt.Sprintln(left, bottom, right, top, ok, all.Parts, op.Operator, values))
		all = Path{}
	}
	if c.Err() != nil {
		t.Fatal(c.Err())
	}
	return list
}

// join adds what another path has built.
func (p *Path) join(other Path) {
	p.Parts += other.Parts
	if left, bottom, right, top, ok := other.Box(); ok {
		p.addSegment('l', &quickNumbers{values: [mostQuick]float64{left, bottom}}, 2)
		p.addSegment('l', &quickNumbers{values: [mostQuick]float64{right, top}}, 2)
	}
}

// TestPathsReachAsFarAsTheirOperators scans content in which paths come together, and as
// single operators.
func TestPathsReachAsFarAsTheirOperators(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 9))
	for range 200 {
		var b strings.Builder
		for range 500 {
			for range random.IntN(7) {
				switch random.IntN(20) {
				case 0:
					b.WriteString("-0.0 ")
				case 1:
					b.WriteString("1e2 ")
				default:
					fmt.Fprintf(&b, "%.*f ", random.IntN(5), random.NormFloat64()*300)
				}
			}
			b.WriteString([]string{"m\n", "l ", "c\r\n", "v ", "y ", "h\n", "f\n", "S ", "re ", "0 0 m ", "0 0 m ", "9 -9 l ", "-1 2 3 -4 5 6 c ", "q ", "(l) Tj ", "f* ", "l%\n"}[random.IntN(17)])
		}
		together, single := built(t, b.String(), true), built(t, b.String(), false)
		if !slices.Equal(together, single) {
			for i := range min(len(together), len(single)) {
				if together[i] != single[i] {
					t.Fatalf("operation %d: %s, want %s", i, together[i], single[i])
				}
			}
			t.Fatalf("%d operations, want %d", len(together), len(single))
		}
	}
}
