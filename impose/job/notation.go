package job

import (
	"fmt"
	"strings"

	"quoin/geometry"
)

// ParseSpeed reads a length for each minute or second: "120m/min", "2m/s". It
// gives the length for each minute.
func ParseSpeed(text string) (geometry.Length, error) {
	fault := words{fmt.Sprintf("%q is not a speed", text), "write a speed as a length for each minute, as in 120m/min"}
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
	return 0, words{fmt.Sprintf("%q is not a turn", text), "write auto, 0, 90, 180 or 270: degrees counter-clockwise"}
}
