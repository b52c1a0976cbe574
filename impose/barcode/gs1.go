package barcode

import (
	"fmt"
	"strings"
	"sync"

	"quoin/impose/checkdigit"
	"quoin/impose/say"
)

// appendElements adds GS1 element strings, written for people as
// "(01)09501101530003(10)AB-12", the way symbols hold them: identifiers and
// values without parentheses, and a separator behind each value whose length
// the reader can't know, but not behind the last (GS1 General Specifications
// 7.8). Values are checked against their identifiers.
func appendElements(dst []byte, text string) ([]byte, error) {
	if !strings.HasPrefix(text, "(") {
		return dst, say.Refuse(say.Failed, "write each element with its identifier, as in (01)09501101530003(10)AB-12", "it doesn't begin with an application identifier in parentheses")
	}
	for rest := text; rest != ""; {
		n := identifierAt(rest)
		if n == 0 {
			return dst, say.Refuse(say.Failed, "identifiers are 2 to 4 digits, as in (01)", "%q is no application identifier", upTo(rest, ")"))
		}
		ai := rest[1 : n-1]
		rest = rest[n:]
		value := rest
		for i := range rest {
			if identifierAt(rest[i:]) > 0 {
				value = rest[:i]
				break
			}
		}
		rest = rest[len(value):]
		rule, ok := elementRule(ai)
		if !ok {
			return dst, say.Refuse(say.Failed, "look it up in the GS1 General Specifications, section 3", "(%s) is no application identifier that is known here", ai)
		}
		if err := rule.check(value); err != nil {
			return dst, fmt.Errorf("(%s): %w", ai, err)
		}
		dst = append(append(dst, ai...), value...)
		if rest != "" && !knownLength(ai) {
			dst = append(dst, separator)
		}
	}
	return dst, nil
}

// identifierAt gives the length of "(digits)" at the front of s, or 0.
func identifierAt(s string) int {
	if s == "" || s[0] != '(' {
		return 0
	}
	for i := 1; i < len(s) && i <= 5; i++ {
		if s[i] == ')' && i >= 3 {
			return i + 1
		}
		if !isDigit(s[i]) {
			return 0
		}
	}
	return 0
}

func upTo(s, end string) string {
	before, _, found := strings.Cut(s, end)
	if !found {
		return s
	}
	return before + end
}

// knownLength reports whether readers know the value's length from the first two
// digits of its identifier, so that no separator follows (GS1 General
// Specifications, table of element strings with predefined length; from
// memory, not checked).
func knownLength(ai string) bool {
	n := 10*int(ai[0]-'0') + int(ai[1]-'0')
	return n <= 4 || n >= 11 && n <= 20 || n >= 31 && n <= 36 || n == 41
}

// element says what the value of an application identifier may be: digits
// first, then any characters of the GS1 set.
type element struct {
	digits     int // first, so many
	least      int // then at least and at most so many of
	most       int
	alphabet   bool // letters and signs too, not only digits
	checkDigit int  // digits up to and with a check digit; 0: none
	date       bool // YYMMDD
}

func (r element) check(value string) error {
	if n := len(value); n < r.digits+r.least || n > r.digits+r.most {
		return say.Refuse(say.Failed, "correct the value", "%q has %d characters, not %s", value, n, r.lengths())
	}
	for i := range len(value) {
		if isDigit(value[i]) || i >= r.digits && r.alphabet && inGS1Set(value[i]) {
			continue
		}
		return say.Refuse(say.Failed, "leave it out, or use a symbol without GS1 data", "%q holds %q, which may not stand there", value, value[i])
	}
	if r.checkDigit > 0 {
		if err := checkdigit.GS1.Verify(value[:r.checkDigit]); err != nil {
			return err
		}
	}
	if r.date {
		if m, d := value[2:4], value[4:6]; m < "01" || m > "12" || d > "31" {
			return say.Refuse(say.Failed, "write year, month and day as YYMMDD; a day of 00 means the month's last", "%q is no day", value)
		}
	}
	return nil
}

func (r element) lengths() string {
	if r.least == r.most {
		return fmt.Sprint(r.digits + r.most)
	}
	return fmt.Sprintf("%d to %d", r.digits+r.least, r.digits+r.most)
}

// inGS1Set reports whether a character is in GS1 AI encodable character set 82
// (GS1 General Specifications 7.11; from memory, not checked).
func inGS1Set(c byte) bool {
	return isDigit(c) || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || strings.IndexByte("!\"%&'()*+,-./:;<=>?_", c) >= 0
}

func number(n int) element         { return element{digits: n} }
func checked(n int) element        { return element{digits: n, checkDigit: n} }
func numbers(n int) element        { return element{least: 1, most: n} }
func characters(n int) element     { return element{least: 1, most: n, alphabet: true} }
func thenNumbers(n, m int) element { return element{digits: n, least: 1, most: m} }

var day = element{digits: 6, date: true}

// elements holds the application identifiers (GS1 General Specifications
// section 3; from memory, not checked). In measures and amounts the fourth
// digit of the identifier, written n, says where the decimal point stands.
var elements = sync.OnceValue(func() map[string]element {
	return map[string]element{
		"00": checked(18), "01": checked(14), "02": checked(14), "03": checked(14),
		"10": characters(20), "11": day, "12": day, "13": day, "15": day, "16": day, "17": day,
		"20": number(2), "21": characters(20), "22": characters(20), "235": characters(28),
		"240": characters(30), "241": characters(30), "242": numbers(6), "243": characters(20),
		"250": characters(30), "251": characters(30), "253": {digits: 13, most: 17, alphabet: true, checkDigit: 13},
		"254": characters(20), "255": {digits: 13, most: 12, checkDigit: 13},
		"30": numbers(8), "37": numbers(8),
		"390n": numbers(15), "391n": thenNumbers(3, 15), "392n": numbers(15), "393n": thenNumbers(3, 15),
		"394n": number(4), "395n": number(6),
		"400": characters(30), "401": characters(30), "402": checked(17), "403": characters(30),
		"410": checked(13), "411": checked(13), "412": checked(13), "413": checked(13), "414": checked(13),
		"415": checked(13), "416": checked(13), "417": checked(13),
		"420": characters(20), "421": {digits: 3, least: 1, most: 9, alphabet: true},
		"422": number(3), "423": {digits: 3, most: 12}, "424": number(3), "425": {digits: 3, most: 12},
		"426": number(3), "427": characters(3),
		"7001": number(13), "7002": characters(30), "7003": number(10), "7004": numbers(4),
		"7005": characters(12), "7006": day, "7007": {digits: 6, most: 6}, "7008": characters(3),
		"7010": characters(2), "7020": characters(20), "7021": characters(20), "7022": characters(20), "7023": characters(30),
		"710": characters(20), "711": characters(20), "712": characters(20), "713": characters(20),
		"714": characters(20), "715": characters(20), "716": characters(20),
		"8001": number(14), "8002": characters(20), "8003": {digits: 14, most: 16, alphabet: true},
		"8004": characters(30), "8005": number(6), "8006": {digits: 18, checkDigit: 14}, "8007": characters(34),
		"8008": {digits: 8, most: 4}, "8010": characters(30), "8011": numbers(12), "8012": characters(20),
		"8017": checked(18), "8018": checked(18), "8019": numbers(10), "8020": characters(25),
		"8110": characters(70), "8111": number(4), "8112": characters(70), "8200": characters(70),
		"90": characters(30),
	}
})

func elementRule(ai string) (element, bool) {
	if r, ok := elements()[ai]; ok {
		return r, true
	}
	switch {
	case len(ai) == 2 && ai >= "91" && ai <= "99":
		return characters(90), true
	case len(ai) == 4 && ai >= "7030" && ai <= "7039":
		return element{digits: 3, least: 1, most: 27, alphabet: true}, true
	case len(ai) == 4 && ai[3] <= '5' && isMeasure(ai[:3]):
		return number(6), true
	case len(ai) == 4:
		r, ok := elements()[ai[:3]+"n"]
		return r, ok
	}
	return element{}, false
}

// isMeasure reports whether the identifiers that begin so are weights, lengths,
// areas or volumes.
func isMeasure(ai string) bool {
	for _, r := range [...][2]string{{"310", "316"}, {"320", "337"}, {"340", "357"}, {"360", "369"}} {
		if ai >= r[0] && ai <= r[1] {
			return true
		}
	}
	return false
}
