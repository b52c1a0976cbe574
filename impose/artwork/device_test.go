package artwork

import (
	"fmt"
	"testing"

	"quoin/impose/witness"
)

func TestDevicesThatNothingDefines(t *testing.T) {
	rgb := witness.Stream("/N 3", profileOf("RGB "))
	for _, c := range []struct {
		name, resources, content string
		more                     []string
		want                     string
	}{
		{"nothing", "", "", nil, "[]"},
		{"each", "", "0 g" + box + "1 0 0 rg" + box + "0 0 0 1 K 20 20 m 30 30 l S", nil, "[{DeviceGray [paths] } {DeviceRGB [paths] } {DeviceCMYK [paths] }]"},
		{"a default in its place", "/ColorSpace << /DefaultRGB [/ICCBased 9 0 R] >>", "1 0 0 rg" + box, []string{rgb}, "[]"},
		{"what a spot stands on", "", "/White cs 1 scn" + box, nil, "[{DeviceCMYK [paths] }]"},
		{"a palette", "/ColorSpace << /X [/Indexed /DeviceRGB 0 <ff0000>] >>", "/X cs 0 sc" + box, nil, "[{DeviceRGB [paths] }]"},
		{"an image", "/XObject << /I 9 0 R >>", "q 9 0 0 9 20 20 cm /I Do Q", []string{imageOf("/Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /DeviceRGB", "xxx")}, "[{DeviceRGB [images] object 9}]"},
		{"a group", "/XObject << /I 9 0 R >>", "/I Do", []string{witness.Stream("/Subtype /Form /BBox [0 0 99 99] /Resources << >> /Group << /S /Transparency /CS /DeviceRGB >>", "")}, "[{DeviceRGB [groups] object 9}]"},
		{"a form", "/XObject << /I 9 0 R >>", "/I Do", []string{witness.Stream("/Subtype /Form /BBox [0 0 99 99] /Resources << >>", "0 g"+box)}, "[{DeviceGray [paths] object 9}]"},
	} {
		p := open(t, painted(t, c.resources, c.content, c.more...), Options{})
		if got := fmt.Sprint(p.Devices); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}
