package barcode

import (
	"fmt"

	"quoin/impose/checkdigit"
	"quoin/impose/say"
)

// upcWidths are the elements of the ten digits, a space first, in the set A of
// ISO/IEC 15420; those of set B are the same turned about.
var upcWidths = [10][4]uint8{
	{3, 2, 1, 1}, {2, 2, 2, 1}, {2, 1, 2, 2}, {1, 4, 1, 1}, {1, 1, 3, 2}, {1, 2, 3, 1}, {1, 1, 1, 4}, {1, 3, 1, 2}, {1, 2, 1, 3}, {3, 1, 1, 2},
}

// upceSets say, by the check digit, which digits of a UPC-E are of set B when it
// begins with 0; when it begins with 1 the others are (GS1 General
// Specifications 5.2.2.4; from memory).
var upceSets = [10]string{"BBBAAA", "BBABAA", "BBAABA", "BBAAAB", "BABBAA", "BAABBA", "BAAABB", "BABABA", "BABAAB", "BAABAB"}

// Lengthened returns the UPC-A that a UPC-E of eight digits stands for, with the check
// digit, which is not verified.
func Lengthened(upce string) (string, error) {
	if len(upce) != 8 {
		return "", fmt.Errorf("a UPC-E takes 8 digits with the check digit, not %d characters", len(upce))
	}
	for i, c := range upce {
		if c < '0' || c > '9' || i == 0 && c > '1' {
			return "", say.Refuse(say.Failed, "a UPC-E begins with 0 or 1", "%q is no digit that may stand there", c)
		}
	}
	s, d := upce[:1], upce[1:7]
	switch d[5] {
	case '0', '1', '2':
		s += d[:2] + d[5:] + "0000" + d[2:5]
	case '3':
		s += d[:3] + "00000" + d[3:5]
	case '4':
		s += d[:4] + "00000" + d[4:5]
	default:
		s += d[:5] + "0000" + d[5:]
	}
	return s + upce[7:], nil
}

// encodeUPCE makes a UPC-E of eight digits.
func (e *Encoder) encodeUPCE(data string) error {
	whole, err := Lengthened(data)
	if err != nil {
		return err
	}
	if err := checkdigit.GS1.Verify(whole); err != nil {
		return fmt.Errorf("as UPC-A %w", err)
	}
	bars := append(e.symbol.Bars[:0], 1, 1, 1)
	for i := range 6 {
		w := upcWidths[data[i+1]-'0']
		if (upceSets[data[7]-'0'][i] == 'B') == (data[0] == '0') {
			w[0], w[1], w[2], w[3] = w[3], w[2], w[1], w[0]
		}
		bars = append(bars, w[:]...)
	}
	e.symbol.Bars = append(bars, 1, 1, 1, 1, 1, 1)
	return nil
}
