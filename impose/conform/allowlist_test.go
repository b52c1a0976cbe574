package conform_test

import (
	"encoding/binary"
	"os"
	"slices"
	"strings"
	"testing"

	"quoin/impose/conform"
	"quoin/impose/witness"
)

// TestWhatIsNotKnownToBeGoodWithholdsTheMarker breaks a sound document in one
// way at a time that a list of known faults would not see. The states, spaces
// and forms are in the page's resources; most are never painted.
func TestWhatIsNotKnownToBeGoodWithholdsTheMarker(t *testing.T) {
	const spot = "/S [/Separation /Plum /DeviceCMYK"
	for _, c := range []struct{ name, rule, old, new string }{
		{"TR Identity", conform.Device, "/OPM 1", "/OPM 1 /TR /Identity"},
		{"TR2 Identity", conform.Device, "/OPM 1", "/OPM 1 /TR2 /Identity"},
		{"black generation", conform.Device, "/OPM 1", "/OPM 1 /BG << /FunctionType 2 /N 1 /Domain [0 1] >>"},
		{"halftone of type 6", conform.Device, "/OPM 1", "/OPM 1 /HT << /HalftoneType 6 /Width 2 /Height 2 >>"},
		{"halftone of type 10 within type 5", conform.Device, "/OPM 1", "/OPM 1 /HT << /HalftoneType 5 /Default << /HalftoneType 10 >> >>"},
		{"transfer function in a halftone", conform.Device, "/OPM 1", "/OPM 1 /HT << /HalftoneType 1 /Frequency 60 /Angle 45 /SpotFunction /Round /TransferFunction /Identity >>"},
		{"transfer function in a part of a halftone", conform.Device, "/OPM 1", "/OPM 1 /HT << /HalftoneType 5 /Default << /HalftoneType 1 /TransferFunction /Identity >> >>"},
		{"black point compensation", conform.Features, "/OPM 1", "/OPM 1 /UseBlackPtComp /ON"},
		{"rendering intent", conform.Features, "/OPM 1", "/OPM 1 /RI /Vivid"},
		{"blend mode", conform.Features, "/OPM 1", "/OPM 1 /BM /Glow"},
		{"blend modes", conform.Features, "/OPM 1", "/OPM 1 /BM [/Glow /Multiply]"},
		{"overprint mode", conform.Features, "/OPM 1", "/OPM 2"},
		{"soft mask", conform.Features, "/OPM 1", "/OPM 1 /SMask << /S /Shadow >>"},
		{"tint of too many outputs", conform.Spots, "/C0 [0 0 0 0] /C1 [0 1 0 0]", "/C0 [0 0 0 0 0] /C1 [0 1 0 0 1]"},
		{"tint of too few inputs", conform.Spots, spot, "/T [/DeviceN [/Plum /Pear] /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] >>] " + spot},
		{"one name twice", conform.Spots, spot, "/T [/DeviceN [/Plum /Plum] /DeviceCMYK 10 0 R] " + spot},
		{"All within DeviceN", conform.Spots, spot, "/T [/DeviceN [/Plum /All] /DeviceCMYK 10 0 R] " + spot},
		{"NChannel without Colorants", conform.Spots, spot, "/T [/DeviceN [/Plum /Pear] /DeviceCMYK 10 0 R << /Subtype /NChannel >>] " + spot},
		{"a kind of DeviceN", conform.Features, spot, "/T [/DeviceN [/Plum /Pear] /DeviceCMYK 10 0 R << /Subtype /MChannel >>] " + spot},
		{"a colour space", conform.Readable, spot, "/T [/CalCMYK << >>] " + spot},
		{"PostScript", conform.Device, "/Properties", "/XObject << /P 11 0 R >> /Properties"},
		{"PostScript by its second kind", conform.Device, "/Properties", "/XObject << /P 12 0 R >> /Properties"},
		{"a kind of object", conform.Features, "/Properties", "/XObject << /P 13 0 R >> /Properties"},
		{"JPEG 2000 of two channels", conform.Features, "/Properties", "/XObject << /P 14 0 R >> /Properties"},
		{"an image's rendering intent", conform.Features, "/Properties", "/XObject << /P 15 0 R >> /Properties"},
		{"a form's form", conform.Device, "/Properties", "/XObject << /P 16 0 R >> /Properties"},
		{"a stream of another file", conform.Features, "/Properties", "/XObject << /P 17 0 R >> /Properties"},
		{"a shading's function", conform.Spots, "/Properties", "/Shading << /P << /ShadingType 2 /ColorSpace /DeviceGray /Coords [0 0 1 1] /Function 10 0 R >> >> /Properties"},
		{"a pattern's kind", conform.Features, "/Properties", "/Pattern << /P << /PatternType 3 >> >> /Properties"},
		{"a Type 3 font's state", conform.Device, "/Type1 /BaseFont /Helvetica", "/Type3 /FontMatrix [1 0 0 1 0 0] /CharProcs << >> /Resources << /ExtGState << /G << /TR /Identity >> >> >>"},
		{"an operator", conform.Readable, "/S cs", "1 2 zz /S cs"},
		{"an operator for a rendering intent", conform.Features, "/S cs", "/Vivid ri /S cs"},
	} {
		bodies := append(sound(t),
			witness.Stream("/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{ 0 0 }"),
			witness.Stream("/Subtype /PS", "showpage"),
			witness.Stream("/Subtype /Form /Subtype2 /PS /BBox [0 0 1 1]", ""),
			witness.Stream("/Subtype /Hologram", ""),
			witness.Stream("/Subtype /Image /Filter /JPXDecode /Width 1 /Height 1 /ColorSpace /DeviceGray", "....ihdr\x00\x00\x00\x01\x00\x00\x00\x01\x00\x02"),
			witness.Stream("/Subtype /Image /Width 1 /Height 1 /ColorSpace /DeviceGray /BitsPerComponent 8 /Intent /Vivid", "x"),
			witness.Stream("/Subtype /Form /BBox [0 0 1 1] /Resources << /XObject << /P 12 0 R >> >>", ""),
			witness.Stream("/Subtype /Form /BBox [0 0 1 1] /F (elsewhere.bin)", ""),
		)
		changed := false
		for i, body := range bodies[:9] {
			bodies[i] = strings.Replace(body, c.old, c.new, 1)
			changed = changed || bodies[i] != body
		}
		if !changed {
			t.Fatalf("%s changes nothing", c.name)
		}
		if got := broken(t, built(t, bodies, id)); !slices.Contains(got, c.rule) {
			t.Errorf("%s: broken %q, want %s", c.name, got, c.rule)
		}
	}
}

// TestWhatIsKnownToBeGoodKeepsTheMarker is the other side: what PDF 1.6 allows
// must not be withheld.
func TestWhatIsKnownToBeGoodKeepsTheMarker(t *testing.T) {
	for _, c := range []struct{ name, old, new string }{
		{"defaults", "/OPM 1", "/OPM 1 /TR2 /Default /BG2 /Default /UCR2 /Default /HT /Default"},
		{"a halftone", "/OPM 1", "/OPM 1 /HT << /HalftoneType 5 /Default << /HalftoneType 1 /Frequency 60 /Angle 45 /SpotFunction /Round >> >>"},
		{"a blend mode", "/OPM 1", "/OPM 1 /BM /Luminosity /RI /Perceptual /SMask /None /ca .5"},
		{"NChannel with Colorants", "/S [/Separation", "/T [/DeviceN [/Plum /Cyan] /DeviceCMYK 10 0 R << /Subtype /NChannel /Process << /ColorSpace /DeviceCMYK /Components [/Cyan /Magenta /Yellow /Black] >> /Colorants << /Plum [/Separation /Plum /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] >>] >> >>] /S [/Separation"},
		{"operators that a reader may skip", "/S cs", "BX 1 2 zz EX /Perceptual ri 1 i 0 J 0 j 4 M [] 0 d /Tag MP /S cs"},
	} {
		bodies := append(sound(t), witness.Stream("/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{ 0 0 }"))
		for i := range bodies[:9] {
			bodies[i] = strings.Replace(bodies[i], c.old, c.new, 1)
		}
		if got := broken(t, built(t, bodies, id)); len(got) > 0 {
			t.Errorf("%s: broken %q", c.name, got)
		}
	}
}

// TestAProfileIsReadToItsEnd damages the profile of the output intent, and one
// that a colour space stands on.
func TestAProfileIsReadToItsEnd(t *testing.T) {
	whole, err := os.ReadFile("../../samples/artwork/demo-coated.icc")
	if err != nil {
		t.Fatal(err)
	}
	changed := func(at int, with string) string { return string(whole[:at]) + with + string(whole[at+len(with):]) }
	far := binary.BigEndian.AppendUint32(nil, uint32(len(whole)))
	for name, profile := range map[string]string{
		"cut after its header": string(whole[:128]), "cut within a tag": string(whole[:len(whole)-5]), "version 5": changed(8, "\x05"),
		"a link": changed(12, "link"), "a tag outside": changed(136, string(far)), "nothing to convert by": strings.Replace(string(whole), "A2B0", "xxxx", 1),
		"connects to CMYK": changed(20, "CMYK"), "no profile": "x",
	} {
		bodies := sound(t)
		bodies[6] = witness.Stream("/N 4", profile)
		if got := broken(t, built(t, bodies, id)); !slices.Contains(got, conform.Intent) {
			t.Errorf("intent's profile, %s: broken %q", name, got)
		}
		bodies = append(sound(t), witness.Stream("/N 4", profile))
		bodies[2] = strings.Replace(bodies[2], "/ColorSpace <<", "/ColorSpace << /I [/ICCBased 10 0 R]", 1)
		if got := broken(t, built(t, bodies, id)); !slices.Contains(got, conform.Profiles) {
			t.Errorf("colour space's profile, %s: broken %q", name, got)
		}
	}
}
