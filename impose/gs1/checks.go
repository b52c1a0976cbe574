package gs1

import (
	"fmt"
	"strings"
	"time"

	"golang.org/x/text/language"

	"quoin/impose/checkdigit"
)

// check looks at a piece of a value and says what is wrong with it and the way
// out; "" for nothing.
type check func(piece string) (wrong, way string)

// checks are those that the table names. A nil one is known and checks nothing:
// coupons have a grammar of their own, and package types, media and currencies
// are lists that others keep and add to.
var checks = map[string]check{
	"csum": func(s string) (string, string) {
		if err := checkdigit.GS1.Verify(s); err != nil {
			return err.Error(), "a digit of it is wrong; ask whoever gave the number, or have the check digit worked out"
		}
		return "", ""
	},
	"csumalpha": checkPair,
	// Where a company prefix begins; which are given out, GS1 alone knows.
	"gcppos1": prefixAt(0), "gcppos2": prefixAt(1),
	"yymmdd":   func(s string) (string, string) { return date(s[:2], s[2:4], s[4:], false) },
	"yymmd0":   func(s string) (string, string) { return date(s[:2], s[2:4], s[4:], true) },
	"yyyymmdd": func(s string) (string, string) { return date(s[:4], s[4:6], s[6:], false) },
	"hh":       below("an hour", 24), "mi": below("a minute", 60), "ss": below("a second", 60),
	"hhmi": func(s string) (string, string) {
		if s[:2] > "23" || s[2:] > "59" {
			return fmt.Sprintf("%q is no time of day", s), "write hours and minutes, from 0000 to 2359"
		}
		return "", ""
	},
	"nonzero":      refuse(zeros, "nothing but zeros", "give the measure"),
	"zero":         refuse(func(s string) bool { return s != "0" }, "not 0", "write 0 there"),
	"nozeroprefix": refuse(func(s string) bool { return s[0] == '0' && len(s) > 1 }, "a number with zeros in front", "leave them out"),
	"yesno":        refuse(func(s string) bool { return s > "1" }, "neither 0 nor 1", "write 1 for yes, 0 for no"),
	"winding":      refuse(func(s string) bool { return s != "0" && s != "1" && s != "9" }, "no winding of a roll", "write 0 for face out, 1 for face in, 9 for not known"),
	"iso5218":      refuse(func(s string) bool { return !strings.Contains("0129", s) }, "none of 0, 1, 2 and 9", "see ISO/IEC 5218"),
	"hyphen":       refuse(func(s string) bool { return s != "-" }, "not a minus sign", "leave it out, or write - behind a temperature below zero"),
	"hasnondigit":  refuse(func(s string) bool { return strings.Trim(s, "0123456789") == "" }, "nothing but digits", "a letter or sign must stand in it"),
	"importeridx":  refuse(func(s string) bool { return !isAlphanumeric(s[0]) && s != "-" && s != "_" }, "no importer's index", "write one letter, digit, - or _"),
	"pcenc":        percents,
	"iso3166":      country(false), "iso3166999": country(true), "iso3166alpha2": countryLetters,
	"iso4217":       refuse(func(s string) bool { return s == "000" }, "no currency", "write the three digits of ISO 4217"),
	"latitude":      atMost("1800000000", "no latitude"),
	"longitude":     atMost("3600000000", "no longitude"),
	"pieceoftotal":  piece,
	"posinseqslash": refuse(func(s string) bool { return s[1] != '/' || s[0] < '1' || s[0] > s[2] || s[2] > '9' }, "no place in a row", "write it as 1/2"),
	"iban":          iban,
	"mediatype":     nil, "packagetype": nil, "couponcode": nil, "couponposoffer": nil,
}

// refuse makes a check of a condition.
func refuse(wrong func(string) bool, what, way string) check {
	return func(s string) (string, string) {
		if wrong(s) {
			return fmt.Sprintf("%q is %s", s, what), way
		}
		return "", ""
	}
}

func zeros(s string) bool { return strings.Trim(s, "0") == "" }

func atMost(most, what string) check {
	return refuse(func(s string) bool { return s > most }, what, "count from the pole or the date line in 0.0000001 degrees")
}

func below(what string, limit int) check {
	most := fmt.Sprintf("%02d", limit-1)
	return refuse(func(s string) bool { return s > most }, "no "+what[strings.IndexByte(what, ' ')+1:], "write two digits, up to "+most)
}

// minPrefix is how many digits a company prefix has at least.
const minPrefix = 4

func prefixAt(from int) check {
	return refuse(func(s string) bool {
		if len(s) < from+minPrefix {
			return true
		}
		for i := from; i < from+minPrefix; i++ {
			if s[i] < '0' || s[i] > '9' {
				return true
			}
		}
		return false
	}, "without a company prefix", "it begins with the digits that GS1 gave to the company")
}

// date checks a day of the Gregorian calendar. Two digits of a year stand for
// one within 50 years, and of those every fourth is a leap year.
func date(year, month, day string, zeroDay bool) (wrong, way string) {
	way = "write year, month and day"
	if zeroDay {
		way += "; a day of 00 means the month's last"
	}
	y, m, d := digits(year), digits(month), digits(day)
	if len(year) == 2 {
		y += 2000
	}
	if m < 1 || m > 12 || d > days(y, m) || d == 0 && !zeroDay {
		return fmt.Sprintf("%q is no day", year+month+day), way
	}
	return "", ""
}

func digits(s string) int {
	n := 0
	for i := range len(s) {
		n = 10*n + int(s[i]-'0')
	}
	return n
}

// days returns the last day of a month.
func days(year, month int) int {
	return time.Date(year, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

func isAlphanumeric(c byte) bool {
	return c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z'
}

// percents checks that each % begins an escape (RFC 3986 2.1).
func percents(s string) (string, string) {
	hex := func(c byte) bool { return c >= '0' && c <= '9' || c >= 'A' && c <= 'F' || c >= 'a' && c <= 'f' }
	for i := range len(s) {
		if s[i] == '%' && (i+2 >= len(s) || !hex(s[i+1]) || !hex(s[i+2])) {
			return fmt.Sprintf("%q has a %% that begins no escape", s), "write what is not in the character set as % and two hexadecimal digits, and % itself as %25"
		}
	}
	return "", ""
}

// country checks the digits of ISO 3166-1, by the regions of the Unicode CLDR.
// 999 stands for no certain country where that is allowed.
func country(also999 bool) check {
	return refuse(func(s string) bool {
		if s == "999" {
			return !also999
		}
		r, err := language.ParseRegion(s)
		return err != nil || !r.IsCountry()
	}, "no country", "write the three digits of ISO 3166-1")
}

func countryLetters(s string) (string, string) {
	r, err := language.ParseRegion(s)
	if err != nil || !r.IsCountry() || r.String() != s {
		return fmt.Sprintf("%q is no country", s), "write the two capital letters of ISO 3166-1"
	}
	return "", ""
}

// piece checks "part so many of so many".
func piece(s string) (string, string) {
	part, total := s[:2], s[2:]
	if part == "00" || total == "00" || part > total {
		return fmt.Sprintf("%q is no part of a whole", s), "write the number of the part and then of all, two digits each"
	}
	return "", ""
}

// iban checks the two check digits of ISO 13616: the letters as numbers, the
// first four characters behind the others, must leave 1 when divided by 97.
func iban(s string) (string, string) {
	way := "a digit or letter of it is wrong"
	if len(s) < 5 {
		return fmt.Sprintf("%q is too short for an account number", s), way
	}
	rest := 0
	for _, c := range []byte(s[4:] + s[:4]) {
		switch {
		case c >= '0' && c <= '9':
			rest = (10*rest + int(c-'0')) % 97
		case c >= 'A' && c <= 'Z':
			rest = (100*rest + int(c-'A') + 10) % 97
		default:
			return fmt.Sprintf("%q holds %q, which no account number has", s, c), way
		}
	}
	if rest != 1 {
		return fmt.Sprintf("the check digits of %q are wrong", s), way
	}
	return "", ""
}
