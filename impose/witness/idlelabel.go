package witness

import "testing"

// IdleLabel writes a label of 50 x 75 mm with a black box and more content, which
// may name the Separation /A of Gold, the DeviceN /N of Gold and Silver and the
// one /E of Gold and None, the form /F that paints in Gold, and the layer /L,
// which is off. It gives the path.
func IdleLabel(t testing.TB, content string) string {
	t.Helper()
	const gold = "/A [/Separation /Gold /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 .2 .7 .1] >>]"
	return Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [5 0 R] /D << /OFF [5 0 R] >> >> >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 150.2362205 221.1023622] /TrimBox [4.2519685 4.2519685 145.9842520 216.8503937] "+
			"/BleedBox [0 0 150.2362205 221.1023622] /Resources << /Properties << /L 5 0 R >> /XObject << /F 6 0 R >> "+
			"/ColorSpace << "+gold+" /N [/DeviceN [/Gold /Silver] /DeviceCMYK 7 0 R] /E [/DeviceN [/Gold /None] /DeviceCMYK 7 0 R] >> >> >>",
		Stream("", "0 0 0 1 k 20 20 60 60 re f "+content),
		"<< /Type /OCG /Name (Off) >>",
		Stream("/Type /XObject /Subtype /Form /BBox [0 0 150 220] /Resources << /ColorSpace << "+gold+" >> >>", "/A cs 1 scn 40 40 20 20 re f"),
		Stream("/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{ pop 0 exch 0 0 }"),
	)
}
