package job

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"quoin/geometry"
	"quoin/impose/say"
)

// unit reads decimal numbers, not negative, that have one of some units behind
// them. A number counts times its unit's factor.
type unit struct {
	factors []factor
	hint    string
}

type factor struct {
	name  string
	times float64
}

var (
	minutes        = unit{[]factor{{"s", 1. / 60}, {"min", 1}, {"h", 60}}, "write a time with its unit, as in 5min, 30s or 1h"}
	minutesPerHour = unit{[]factor{{"min/h", 1}}, "write minutes for each hour, as in 10min/h"}
	gramsPerM2     = unit{[]factor{{"g/m2", 1}}, "write the ink of a solid with its unit, as in 1.2g/m2"}
	dotsPerInch    = unit{[]factor{{"dpi", 1}}, "write dots per inch, as in 1600dpi"}
)

// amount is money for each of what, which may be empty.
func amount(what string) unit {
	return unit{[]factor{{what, 1}}, "write the amount without its currency, as in 0.35" + what}
}

func (u unit) read(v value, x *float64) {
	parse(v.pointed(), x, func(text string) (float64, error) {
		s := strings.TrimSpace(text)
		number := s[:len(s)-len(strings.TrimLeft(s, "0123456789."))]
		i := slices.IndexFunc(u.factors, func(f factor) bool { return f.name == strings.TrimSpace(s[len(number):]) })
		n, err := strconv.ParseFloat(number, 64)
		if err != nil || i < 0 {
			return 0, say.Refuse(say.Failed, u.hint, "%q is not understood", text)
		}
		if n > 1e12 {
			return 0, say.Refuse(say.Failed, "", "%q is far too much", text)
		}
		return n * u.factors[i].times, nil
	})
}

func readDPI(v value, x *int) {
	var n float64
	dotsPerInch.read(v, &n)
	*x = int(n)
}

// ParseDPI reads a resolution as a press file writes it, "1600dpi", or the bare
// number. Errors know the way out.
func ParseDPI(text string) (int, error) {
	number := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "dpi"))
	n, err := ParseCount(number, 1, 100_000)
	if err != nil {
		return 0, say.Refuse(say.Failed, "write dots per inch, as in 1600dpi", "%q is no resolution", text)
	}
	return int(n), nil
}

// readDevice reads the pixels of a device to the inch: the same in both directions,
// or across the web and along its travel, as in 1600x800dpi.
func readDevice(v value, across, around *int) {
	text, ok := v.scalar()
	first, second, two := strings.Cut(text, "x")
	if !ok || !two {
		readDPI(v, across)
		*around = *across
		return
	}
	both := v
	both.text = strings.TrimSpace(first) + "dpi"
	readDPI(both, across)
	both.text = second
	readDPI(both, around)
}

// parseClock reads a time of day as minutes from midnight.
func parseClock(text string) (int, error) {
	t, err := time.Parse("15:04", strings.TrimSpace(text))
	if err != nil {
		return 0, say.Refuse(say.Failed, "write hours and minutes, as in 22:00", "%q is no time of day", text)
	}
	return t.Hour()*60 + t.Minute(), nil
}

// parseSpeed reads what ParseSpeed reads, and no standstill.
func parseSpeed(text string) (geometry.Length, error) {
	l, err := ParseSpeed(text)
	if err != nil {
		return 0, err
	}
	return l, positive.check(l, text)
}
