package artwork

import (
	"fmt"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// ISO 32000-1 8.11.2.2 and 8.11.4.3. Object 5 is on, 6 is off, 7 is listed in
// neither ON nor OFF.
func TestVisibility(t *testing.T) {
	for _, c := range []struct{ config, object, want string }{
		{"", "5 0 R", "shows"}, {"", "6 0 R", "hides"}, {"", "7 0 R", "shows"},
		{"/BaseState /OFF", "5 0 R", "shows"}, {"/BaseState /OFF", "7 0 R", "hides"},
		{"", "<< /Type /OCMD /OCGs 6 0 R >>", "hides"},
		{"", "<< /Type /OCMD /OCGs [5 0 R 6 0 R] >>", "shows"}, // AnyOn
		{"", "<< /Type /OCMD /OCGs [5 0 R 6 0 R] /P /AllOn >>", "hides"},
		{"", "<< /Type /OCMD /OCGs [5 0 R 6 0 R] /P /AnyOff >>", "shows"},
		{"", "<< /Type /OCMD /OCGs [5 0 R 6 0 R] /P /AllOff >>", "hides"},
		{"", "<< /Type /OCMD /OCGs [6 0 R] /P /AllOff >>", "shows"},
		{"", "<< /Type /OCMD /OCGs [null 99 0 R] >>", "shows"}, // no groups at all
		{"", "<< /Type /OCMD /OCGs [6 0 R] /VE [/Not 6 0 R] >>", "shows"},
		{"", "<< /Type /OCMD /VE [/And 5 0 R [/Not 6 0 R]] >>", "shows"},
		{"", "<< /Type /OCMD /VE [/And 5 0 R 6 0 R] >>", "hides"},
		{"", "<< /Type /OCMD /VE [/Or 5 0 R 6 0 R] >>", "shows"},
		{"", "<< /Type /OCMD /VE [/Or 6 0 R [/And 6 0 R 7 0 R]] >>", "hides"},
		{"", "<< /Type /OCMD /VE [/Xor 6 0 R] >>", "shows"},
		{"", "<< /Type /OCMD /VE " + strings.Repeat("[/Not ", 31) + "6 0 R" + strings.Repeat("]", 31) + " >>", "shows"},
	} {
		path := withCatalog(t, "/OCProperties << /OCGs [5 0 R 6 0 R 7 0 R 5 0 R] /D << "+c.config+" /ON [5 0 R 99 0 R] /OFF [6 0 R (x)] >> >>",
			"/Contents 4 0 R /Resources << /Properties << /L 8 0 R /M "+c.object+" >> >>",
			witness.Stream("", "/OC /M BDC"+box+"EMC"), "<< /Type /OCG /Name (A) >>", "<< /Type /OCG /Name (B) >>", "<< /Type /OCG /Name (C) >>", c.object)
		p := open(t, path, Options{})
		got := "hides"
		if usage(p, "Black").State == Used {
			got = "shows"
		}
		if got != c.want {
			t.Errorf("%s %.60s: %s, want %s", c.config, c.object, got, c.want)
		}
	}
}

func TestLayersOfThePageInTheDocumentsOrder(t *testing.T) {
	path := withCatalog(t, "/OCProperties << /OCGs [5 0 R 6 0 R 7 0 R] /D << >> >>",
		"/Contents 4 0 R /Resources << /Properties << /X 7 0 R /Y 5 0 R /Z 8 0 R >> >>",
		witness.Stream("", "/OC /X BDC EMC /OC /Y BDC EMC /OC /Z BDC EMC"),
		"<< /Type /OCG /Name (A) >>", "<< /Type /OCG /Name (B) >>", "<< /Type /OCG /Name (C) >>", "<< /Type /OCG /Name (Unlisted) >>")
	var names []string
	for _, l := range open(t, path, Options{}).Layers {
		names = append(names, l.Name)
	}
	if fmt.Sprint(names) != "[A C Unlisted]" {
		t.Error(names)
	}
	// What a scan that was cut short has not seen may be any layer.
	p := open(t, path, Options{Operators: 1})
	if len(p.Layers) != 3 {
		t.Errorf("%+v", p.Layers)
	}
}

func TestChannelsOfJPEG2000(t *testing.T) {
	for want, data := range map[int]string{
		1: "....colr\x01\x00\x00\x00\x00\x00\x11",
		3: "....colr\x01\x00\x00\x00\x00\x00\x10",
		4: "....colr\x01\x00\x00\x00\x00\x00\x0c",
		5: "....ihdr\x00\x00\x00\x09\x00\x00\x00\x09\x00\x05\x07",
		6: "\xff\x4f\xff\x51" + strings.Repeat("\x00", 36) + "\x00\x06",
		0: "nothing of the kind",
	} {
		path := onePage(t, "/Resources << /XObject << /I 4 0 R >> >>", witness.Stream("/Filter /JPXDecode", data))
		p := open(t, path, Options{})
		stream := p.Doc.Stream(p.Doc.Dict(p.Doc.Dict(p.Dict["Resources"])["XObject"])["I"])
		if got := JPXChannels(p.Doc, stream); got != want {
			t.Errorf("%q: %d, want %d", data, got, want)
		}
	}
}
