package job

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"quoin/impose/say"
)

// Days as sales systems write them. The year first is ISO 8601; a day with points
// begins with the day wherever points are used (Unicode CLDR: no locale has
// month.day.year). 3/2/2026 is March in one country and February in another, so
// it is read only where its form is said or one of the two can't be a month.

var (
	dayParts = pattern(`^([0-9]{1,4})([-/.])([0-9]{1,2})([-/.])([0-9]{1,4})\.?$`)
	dayWords = pattern(`^(?:([0-9]{1,2})\.?[- ]([A-Za-z]{3,9})\.?,?[- ]([0-9]{4})|([A-Za-z]{3,9})\.? ([0-9]{1,2}),? ([0-9]{4}))$`)
	dayTime  = pattern(`^(.*?[0-9])[T ]+([0-9]{1,2}:[0-9]{2}(?::[0-9]{2}(?:[.,][0-9]+)?)?)(?: ?([AaPp][Mm]))?(Z|[+-][0-9]{2}:?[0-9]{2})?$`)
	dayBare  = pattern(`^(19|20)([0-9]{2})([0-9]{2})([0-9]{2})$`)
	daySheet = pattern(`^[345][0-9]{4}$`)
)

const dayHint = "write year-month-day, as in 2026-03-31"

// cellDay reads a day from a cell.
func cellDay(text string, form DateForm) (time.Time, error) {
	whole := text
	if m := dayTime().FindStringSubmatch(text); m != nil {
		if zero := strings.Trim(m[2], "0:.,") == "" || m[2] == "12:00:00" && strings.EqualFold(m[3], "AM"); m[4] != "" && !zero {
			return time.Time{}, say.Refuse(say.Failed, "export days without a time, or in local time: "+dayHint,
				"%q is a time in another zone, where it may be another day", text)
		}
		text = m[1]
	}
	bad := func(way, why string, args ...any) (time.Time, error) {
		return time.Time{}, say.Refuse(say.Failed, way, "%q %s", whole, fmt.Sprintf(why, args...))
	}
	if m := dayBare().FindStringSubmatch(text); m != nil {
		return dayOf(whole, m[1]+m[2], m[3], m[4])
	}
	if m := dayWords().FindStringSubmatch(text); m != nil {
		return dayNamed(whole, m)
	}
	if daySheet().MatchString(text) {
		n, _ := strconv.Atoi(text)
		return bad(dayHint, "is the number of a day in a spreadsheet, %s where days count from 1900", sheetDay(n, false).Format(time.DateOnly))
	}
	m := dayParts().FindStringSubmatch(text)
	if m == nil || m[2] != m[4] {
		return bad(dayHint, "is not a day")
	}
	a, sign, b, c := m[1], m[2], m[3], m[5]
	switch {
	case len(a) == 4 && len(c) <= 2:
		return dayOf(whole, a, b, c)
	case len(c) == 4 && len(a) <= 2:
	case len(a) <= 2 && len(c) == 2 && form == YearFirst:
		return dayOf(whole, "20"+a, b, c)
	case len(a) <= 2 && len(c) == 2 && (form == DayFirst || form == MonthFirst):
		c = "20" + c
	case len(a) <= 2 && len(c) == 2:
		return bad("write the year with four digits, or say the form with --dates, as in --dates d/m/y", "has a year of two digits, and may be read in several ways")
	default:
		return bad(dayHint, "is not a day")
	}
	first, _ := strconv.Atoi(a)
	second, _ := strconv.Atoi(b)
	switch {
	case form == MonthFirst && sign != ".":
		return dayOf(whole, c, a, b)
	case form == DayFirst, sign == ".", first > 12, first == second:
		return dayOf(whole, c, b, a)
	case second > 12:
		return dayOf(whole, c, a, b)
	}
	return bad("say the form with --dates d/m/y or --dates m/d/y, or dates under orders in the job file", "may be %s or %s",
		fmt.Sprintf("%s-%02d-%02d", c, second, first), fmt.Sprintf("%s-%02d-%02d", c, first, second))
}

// dayOf refuses days that no calendar has, and years of another time.
func dayOf(text, year, month, day string) (time.Time, error) {
	y, _ := strconv.Atoi(year)
	m, _ := strconv.Atoi(month)
	d, _ := strconv.Atoi(day)
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if t.Month() != time.Month(m) || t.Day() != d {
		return time.Time{}, say.Refuse(say.Failed, dayHint, "%q is not a day of the calendar", text)
	}
	if y < 1990 || y > 2199 {
		return time.Time{}, say.Refuse(say.Failed, dayHint, "%q is a day of another time", text)
	}
	return t, nil
}

// dayNamed reads days whose month is an English word.
func dayNamed(text string, m []string) (time.Time, error) {
	day, word, year := m[1]+m[5], m[2]+m[4], m[3]+m[6]
	for month := time.January; month <= time.December; month++ {
		if full := month.String(); len(word) >= 3 && len(word) <= len(full) && strings.EqualFold(word, full[:len(word)]) {
			return dayOf(text, year, strconv.Itoa(int(month)), day)
		}
	}
	return time.Time{}, say.Refuse(say.Failed, dayHint, "%q names a month that is not known here", text)
}

// sheetDay returns the day that a spreadsheet's number stands for. Where days count
// from 1900, the 29th of February of that year counts too, which never was (ECMA-376-1
// 18.17.4.1); so the numbers of all later days begin with 1899-12-30.
func sheetDay(n int, from1904 bool) time.Time {
	base := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	if from1904 {
		base = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	return base.AddDate(0, 0, n)
}
