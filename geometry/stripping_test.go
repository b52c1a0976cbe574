package geometry

import "testing"

func TestStrippingFor(t *testing.T) {
	rules := []Stripping{{"film", 3 * Millimetre, 4 * Millimetre}}
	is(t, "known", StrippingFor(rules, "film"), rules[0])
	is(t, "unknown", StrippingFor(rules, "paper"), CommonStripping)
	// 2 mm is the least and 3 mm the preferred gap of docs.zebra.com,
	// r-zt2x0 media specifications.
	for gap, want := range map[string]string{"1.999999mm": "refused", "2mm": "warned", "2.499999mm": "warned", "2.5mm": "", "3mm": ""} {
		bad, mind := CommonStripping.judge(CodeGapAround, "around", mustLength(t, gap), true)
		got := ""
		if len(bad) > 0 {
			got = "refused"
		}
		if len(mind) > 0 {
			got += "warned"
		}
		is(t, gap, got, want)
	}
}
