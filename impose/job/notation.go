package job

import (
	"strings"

	"quoin/geometry"
	"quoin/impose/say"
)

// ParseSpeed reads a length for each minute or second: "120m/min", "2m/s". It
// gives the length for each minute.
func ParseSpeed(text string) (geometry.Length, error) {
	fault := say.Refuse(say.Failed, "write a speed as a length for each minute, as in 120m/min", "%q is not a speed", text)
	way, per, ok := strings.Cut(text, "/")
	times := map[string]geometry.Length{"min": 1, "s": 60}[strings.TrimSpace(per)]
	if !ok || times == 0 {
		return 0, fault
	}
	l, err := geometry.ParseLength(way)
	if err != nil {
		return 0, fault
	}
	return l * times, nil
}

// parseTurn reads one turn in degrees counter-clockwise.
func parseTurn(text string) (geometry.Turn, error) {
	for t := geometry.Turn0; t <= geometry.Turn270; t++ {
		if t.String() == text {
			return t, nil
		}
	}
	return 0, say.Refuse(say.Failed, "write auto, 0, 90, 180 or 270: degrees counter-clockwise", "%q is not a turn", text)
}
