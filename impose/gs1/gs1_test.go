package gs1

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/say"
)

// TestValues takes its numbers from the GS1 General Specifications (from
// memory) and, for check digits, from TV-B1 to TV-B5 of the trade facts that the
// other check digit tests use.
func TestValues(t *testing.T) {
	for _, c := range []struct{ ai, value, fault string }{
		{"01", "09501101530003", ""},
		{"01", "09501101530004", "check digit"},
		{"01", "9501101530003", "13 characters, not 14"},
		{"00", "106141412345678908", ""},
		{"17", "260229", "no day"}, // 2026 is no leap year
		{"17", "280229", ""},
		{"17", "260231", "no day"},
		{"17", "260200", ""}, // the month's last
		{"4326", "260200", "no day"},
		{"7250", "19000229", "no day"}, // 1900 was no leap year
		{"7250", "20000229", ""},
		{"10", "AB-12", ""},
		{"10", "", "0 characters, not 1 to 20"},
		{"10", "123456789012345678901", "21 characters"},
		{"10", "AB 12", "' '"},
		{"10", "Ä1", "holds 'Ä'"},
		{"10", "ÄÄÄÄÄÄÄÄÄÄÄ", "holds 'Ä'"}, // eleven letters, 22 bytes
		{"8013", "1987654Äd2K", "holds 'Ä'"},
		{"8010", "9501101ab", "'a'"}, // set 39 has no small letters
		{"4300", "Hollow+Lane%20Orchard", ""},
		{"4300", "100%", "begins no escape"},
		{"7040", "1ABC", ""},
		{"7003", "2602282359", ""},
		{"7003", "2602282460", "time of day"},
		{"8008", "26022823", ""},
		{"8008", "2602282359", ""},
		{"8008", "260228235959", ""},
		{"8008", "2602282360", "minute"},
		{"422", "276", ""},
		{"422", "999", "no country"},
		{"7030", "999AB", ""},
		{"4307", "DE", ""},
		{"4307", "XQ", "no country"},
		{"8006", "095011015300030102", ""},
		{"8006", "095011015300030302", "no part"},
		{"8013", "1987654Ad4X4bL5ttr2310c2K", ""}, // the specifications' own model number
		{"8013", "1987654Ad4X4bL5ttr2310c2L", "check characters"},
		{"8007", "GB82WEST12345698765432", ""}, // the example of ISO 13616
		{"8007", "GB82WEST12345698765433", "check digits"},
		{"253", "9501101530003", ""},
		{"253", "9501101530003ABC", ""},
		{"3103", "001250", ""},
		{"3106", "001250", "no such application identifier"},
		{"8001", "00100123400219", ""},
		{"8001", "00000123400219", "zeros"},
		{"4321", "2", "neither"},
		{"95", "anything", ""},
	} {
		err := Element{c.ai, c.value}.Check()
		if c.fault == "" && err != nil || c.fault != "" && (err == nil || !strings.Contains(err.Error(), c.fault)) {
			t.Errorf("(%s)%s: got %v, want %q", c.ai, c.value, err, c.fault)
		}
		if err != nil && (say.KindOf(err) != say.BadFile || say.Hint(err) == "") {
			t.Errorf("(%s)%s: %v gives no way out", c.ai, c.value, err)
		}
	}
}

// TestNoValuePanics feeds every identifier values of all lengths.
func TestNoValuePanics(t *testing.T) {
	for ai := range table() {
		for n := range 95 {
			for _, c := range []string{"0", "9", "A", "%", "é"} {
				_ = Element{ai, strings.Repeat(c, n)}.Check()
			}
		}
	}
}

func TestTogether(t *testing.T) {
	for _, c := range []struct{ ais, fault string }{
		{"01 10 17", ""},
		{"10", "(01)"},
		{"01 02", "may not stand"},
		{"02 37", "(00) with (02)"}, // 37 needs the logistic unit
		{"00 02 37", ""},
		{"02", "(37)"},
		{"01 21 250", ""},
		{"01 250", "(01) with (21)"},
		{"01 3101 3102", "may not stand"}, // one weight
		{"01 3922 3103", ""},
		{"01 3922", "31nn"},
		{"422 01 426", "may not stand"},
	} {
		err := Together(strings.Fields(c.ais))
		if c.fault == "" && err != nil || c.fault != "" && (err == nil || !strings.Contains(say.WithHint(err), c.fault)) {
			t.Errorf("%s: got %v, want %q", c.ais, err, c.fault)
		}
	}
}

func TestAppendAndParse(t *testing.T) {
	list, err := Parse("(01)09501101530003(17)280229(10)AB-12(21)7")
	if err != nil {
		t.Fatal(err)
	}
	if got, want := string(Append(nil, list, '|')), "01095011015300031728022910AB-12|217"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if got := Text(list); got != "(01)09501101530003(17)280229(10)AB-12(21)7" {
		t.Errorf("got %s", got)
	}
	for _, bad := range []string{"", "01", "(1)5", "(01x)5", "(12345)6"} {
		if _, err := Parse(bad); err == nil {
			t.Errorf("%q is read", bad)
		}
	}
	if err := Repeated(append(list, Element{"10", "X"})); err == nil {
		t.Error("an identifier is there twice")
	}
	// An element that is made of data keeps its parentheses.
	one := []Element{{"01", "09501101530003"}, {"21", "A(10)B"}}
	if got, want := string(Append(nil, one, '|')), "010950110153000321A(10)B"; got != want || one[1].Check() != nil {
		t.Errorf("got %s, want %s; %v", got, want, one[1].Check())
	}
}

// TestLink takes its addresses from the GS1 Digital Link standard's examples
// (from memory), with another domain.
func TestLink(t *testing.T) {
	for _, c := range []struct{ elements, want, fault string }{
		{"(01)09520123456788", "https://example.com/01/09520123456788", ""},
		{"(10)ABC1(01)09520123456788(21)12345(17)180426", "https://example.com/01/09520123456788/10/ABC1/21/12345?17=180426", ""},
		{"(01)09520123456788(22)2A", "https://example.com/01/09520123456788/22/2A", ""},
		{"(01)09520123456788(10)A/B%2", "https://example.com/01/09520123456788/10/A%2FB%252", ""},
		{"(01)09520123456788(3103)000195(3922)0299(17)201225", "https://example.com/01/09520123456788?3103=000195&3922=0299&17=201225", ""},
		{"(414)9520123456788(254)32a", "https://example.com/414/9520123456788/254/32a", ""},
		{"(01)09520123456788(235)X(10)B", "", "may not qualify"},
		{"(10)ABC", "", "primary key"},
		{"(01)09520123456788(8014)1987654Ad4X4bL5ttr2310c2K", "", "may not stand"},
		{"(01)09520123456788(9999)1", "", "no such"},
	} {
		list, err := Parse(c.elements)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Link("https://example.com", list)
		if got != c.want || (err == nil) != (c.fault == "") || err != nil && !strings.Contains(err.Error(), c.fault) {
			t.Errorf("%s: got %q, %v; want %q, %q", c.elements, got, err, c.want, c.fault)
		}
	}
	for _, domain := range []string{"", "example.com", "ftp://example.com", "https://", "https://a b"} {
		if _, err := Link(domain, []Element{{"01", "09520123456788"}}); err == nil {
			t.Errorf("the domain %q is taken", domain)
		}
	}
}

// TestAgainstTheDictionary reads GS1's own file where it lies beside the
// project, and finds each identifier with the same title and length.
func TestAgainstTheDictionary(t *testing.T) {
	data, err := os.ReadFile(filepath.FromSlash("../../../shared/gs1/gs1-syntax-dictionary.txt"))
	if err != nil {
		t.Skip("GS1's dictionary is not beside the project")
	}
	n := 0
	for _, line := range strings.Split(string(data), "\n") {
		if line == "" || line[0] < '0' || line[0] > '9' {
			continue
		}
		n++
		body, title, _ := strings.Cut(line, "#")
		ai, _, _ := strings.Cut(strings.Fields(body)[0], "-")
		r := table()[ai]
		if r == nil || r.title != strings.TrimSpace(title) {
			t.Errorf("%s: %+v", ai, r)
			continue
		}
		words := strings.Fields(body)
		flags := ""
		if !strings.ContainsAny(words[1][:1], "NXYZ[") {
			flags = words[1]
		}
		if r.fixed != strings.Contains(flags, "*") || r.query != strings.Contains(flags, "?") || r.key != strings.Contains(body, "dlpkey") {
			t.Errorf("%s: %+v", line, r)
		}
	}
	if n < 200 {
		t.Errorf("only %d identifiers are there", n)
	}
}
