package geometry

// parsePlain reads what nearly every length is, a short decimal number of whole
// nanometres, without big numbers: a die library holds 40,000 lengths. What it
// doesn't take is left to the exact way.
func parsePlain(number, unit string) (Length, bool) {
	size, ok := plainUnits[unit]
	if !ok || number == "" || len(number) > 9 { // nine digits of metres don't overflow
		return 0, false
	}
	value, scale, point := Length(0), Length(1), false
	for i := range len(number) {
		switch c := number[i]; {
		case c >= '0' && c <= '9':
			value = value*10 + Length(c-'0')
			if point {
				scale *= 10
			}
		case c == '.' && !point && len(number) > 1:
			point = true
		default:
			return 0, false
		}
	}
	nm := value * size
	if nm%scale != 0 || nm/scale > longest {
		return 0, false
	}
	return nm / scale, true
}

var plainUnits = map[string]Length{"um": Micrometre, "mm": Millimetre, "cm": Centimetre, "m": Metre, "in": Inch}
