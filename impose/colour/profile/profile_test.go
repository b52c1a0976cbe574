package profile_test

import (
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/colour/cielab"
	"quoin/impose/colour/profile"
	"quoin/impose/say"
	"quoin/impose/witness"
)

const demo = "../../../samples/artwork/demo-coated.icc"

// files gives profiles to test: our sample and Ghostscript's (both of 16 bit
// tables), and the sample's table rewritten in the two other forms.
func files(t *testing.T) []string {
	paths := []string{demo, newForm(t), narrow(t)}
	const gs = "/usr/share/color/icc/ghostscript/default_cmyk.icc"
	if _, err := os.Stat(gs); err == nil {
		paths = append(paths, gs)
	} else if os.Getenv("CI") == "true" {
		t.Fatalf("%v; apt-get install ghostscript", err)
	}
	return paths
}

func read(t testing.TB, path string) *profile.Profile {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p, err := profile.Parse(data)
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	return p
}

// 1,000 random tints, and the corners, agree with Little CMS to 0.1 and with
// Argyll to what its own way of interpolating leaves.
func TestTintsAgreeWithOthers(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	var tints [][4]float64
	for i := range 16 {
		tints = append(tints, [4]float64{float64(i & 1), float64(i >> 1 & 1), float64(i >> 2 & 1), float64(i >> 3)})
	}
	for range 1000 {
		tints = append(tints, [4]float64{random.Float64(), random.Float64(), random.Float64(), random.Float64()})
	}
	var percent, parts []string
	for _, v := range tints {
		percent = append(percent, fmt.Sprintf("%.6f %.6f %.6f %.6f", 100*v[0], 100*v[1], 100*v[2], 100*v[3]))
		parts = append(parts, fmt.Sprintf("%.8f %.8f %.8f %.8f", v[0], v[1], v[2], v[3]))
	}
	for _, path := range files(t) {
		p := read(t, path)
		compare := func(who string, lines []string, within float64, count int) {
			worst := 0.0
			for i, line := range lines[:count] {
				var want cielab.Lab
				if _, err := fmt.Sscan(line, &want.L, &want.A, &want.B); err != nil {
					t.Fatalf("%s said %q: %v", who, line, err)
				}
				got, err := p.Lab(tints[i][:])
				if err != nil {
					t.Fatal(err)
				}
				d := cielab.DE76(got, want)
				if worst = max(worst, d); d > within {
					t.Errorf("%s: %v is %v, %s says %v: %.3f apart", filepath.Base(path), tints[i], got, who, want, d)
				}
			}
			t.Logf("%s: at most %.4f from %s over %d tints", filepath.Base(path), worst, who, count)
		}
		compare("transicc", witness.Transicc(t, path, percent), 0.1, len(tints))
		// Argyll reads profiles of version 2, and takes its own way to absolute
		// colours in those that it made, such as the sample. On the corners nothing
		// is interpolated; xicclu goes other ways between.
		if base := filepath.Base(path); base == "demo-coated.icc" || base == "new-form.icc" {
			continue
		}
		compare("xicclu", witness.Xicclu(t, path, parts), 0.1, 16)
	}
}

// oldTable is the sample's table: curves and grid of 16 bits.
type oldTable struct {
	head, white  []byte // of the profile
	grid         int
	in, out, mid []uint16 // curves of 4 and of 3 channels, grid
	entries      [2]int   // points of a curve
}

var be = binary.BigEndian

func sampleTable(t *testing.T) oldTable {
	t.Helper()
	data, err := os.ReadFile(demo)
	if err != nil {
		t.Fatal(err)
	}
	b := data[0x398:]
	if string(b[:4]) != "mft2" {
		t.Fatalf("the sample's table is now %q", b[:4])
	}
	o := oldTable{head: data[:128], white: data[0x2cc : 0x2cc+20], grid: int(b[10]), entries: [2]int{int(be.Uint16(b[48:])), int(be.Uint16(b[50:]))}}
	b = b[52:]
	take := func(n int) (v []uint16) {
		for i := range n {
			v = append(v, be.Uint16(b[2*i:]))
		}
		b = b[2*n:]
		return v
	}
	o.in = take(4 * o.entries[0])
	o.mid = take(o.grid * o.grid * o.grid * o.grid * 3)
	o.out = take(3 * o.entries[1])
	return o
}

// write makes a profile of the table in another form.
func (o oldTable) write(t *testing.T, name string, version byte, table []byte) string {
	t.Helper()
	head := append([]byte(nil), o.head...)
	head[8] = version
	copy(head[4:8], make([]byte, 4)) // Argyll trusts what it made itself
	copy(head[80:84], make([]byte, 4))
	head = be.AppendUint32(head, 2)
	for _, e := range []struct {
		name     string
		at, size int
	}{{"wtpt", 156, 20}, {"A2B1", 176, len(table)}} {
		head = append(head, e.name...)
		head = be.AppendUint32(be.AppendUint32(head, uint32(e.at)), uint32(e.size))
	}
	file := append(append(head, o.white...), table...)
	be.PutUint32(file, uint32(len(file)))
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// newForm writes the sample's table as lutAToBType: its A curves are the old
// input curves, its B curves the old output curves. Matrix and M curves bend
// what lies between, so that one left out would be seen.
func newForm(t *testing.T) string {
	t.Helper()
	o := sampleTable(t)
	curve := func(points []uint16) []byte {
		b := be.AppendUint32([]byte("curv\x00\x00\x00\x00"), uint32(len(points)))
		for _, v := range points {
			b = be.AppendUint16(b, v)
		}
		return b
	}
	offsets := make([]byte, 20)
	var body []byte
	mark := func(i int) {
		for len(body)%4 != 0 {
			body = append(body, 0)
		}
		be.PutUint32(offsets[4*i:], uint32(32+len(body)))
	}
	pad := func() {
		for len(body)%4 != 0 {
			body = append(body, 0)
		}
	}
	mark(0)
	for i := range 3 {
		body = append(body, curve(o.out[o.entries[1]*i:o.entries[1]*(i+1)])...)
		pad()
	}
	mark(1)
	for _, v := range []uint32{60000, 1000, 0, 0, 65000, 0, 500, 0, 65536, 0, 300, 0} {
		body = be.AppendUint32(body, v)
	}
	mark(2)
	body = append(body, "curv\x00\x00\x00\x00\x00\x00\x00\x00"...)
	body = append(body, "curv\x00\x00\x00\x00\x00\x00\x00\x01\x01\x10\x00\x00"...) // a power of 1.0625
	body = append(body, "para\x00\x00\x00\x00\x00\x03\x00\x00"...)                 // as sRGB's
	for _, v := range []float64{2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045} {
		body = be.AppendUint32(body, uint32(v*65536+.5))
	}
	mark(3)
	g := byte(o.grid)
	body = append(body, g, g, g, g, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 2, 0, 0, 0)
	for _, v := range o.mid {
		body = be.AppendUint16(body, v)
	}
	mark(4)
	for i := range 4 {
		body = append(body, curve(o.in[o.entries[0]*i:o.entries[0]*(i+1)])...)
		pad()
	}
	table := append(append([]byte("mAB \x00\x00\x00\x00\x04\x03\x00\x00"), offsets...), body...)
	return o.write(t, "new-form.icc", 4, table)
}

// narrow writes the sample's table as lut8Type.
func narrow(t *testing.T) string {
	t.Helper()
	o := sampleTable(t)
	table := make([]byte, 48)
	copy(table, "mft1\x00\x00\x00\x00\x04\x03")
	table[10] = byte(o.grid)
	for i := range 3 {
		be.PutUint32(table[12+16*i:], 65536)
	}
	curve := func(points []uint16) {
		for i := range 256 {
			table = append(table, byte(points[i*(len(points)-1)/255]>>8))
		}
	}
	for i := range 4 {
		curve(o.in[o.entries[0]*i : o.entries[0]*(i+1)])
	}
	for _, v := range o.mid {
		table = append(table, byte(v>>8))
	}
	for i := range 3 {
		curve(o.out[o.entries[1]*i : o.entries[1]*(i+1)])
	}
	return o.write(t, "narrow.icc", 2, table)
}

// A colour that the process inks print themselves is found again.
func TestNearestFindsWhatIsThere(t *testing.T) {
	p := read(t, demo)
	for _, mix := range [][]float64{{.3, .7, .1, 0}, {1, 0, 1, 0}, {0, .5, 1, .2}, {0, 0, 0, 0}} {
		aim, err := p.Lab(mix)
		if err != nil {
			t.Fatal(err)
		}
		b, err := p.Nearest(aim, 300)
		if err != nil || b.DE00 > 0.5 {
			t.Errorf("%v: %+v, %v", mix, b, err)
		}
		again, err := p.Lab([]float64{b.CMYK[0] / 100, b.CMYK[1] / 100, b.CMYK[2] / 100, b.CMYK[3] / 100})
		if d := cielab.DE00(again, b.Lab); err != nil || d > 1e-9 {
			t.Errorf("%v: predicted %v, prints %v, %v", mix, b.Lab, again, err)
		}
	}
	// A green far outside any press's gamut has no near build, and no mix breaks
	// the limit.
	b, err := p.Nearest(cielab.Lab{L: 60, A: -120, B: 60}, 150)
	if err != nil || b.DE00 < 5 || b.CMYK[0]+b.CMYK[1]+b.CMYK[2]+b.CMYK[3] > 150 {
		t.Errorf("%+v, %v", b, err)
	}
}

// What is no profile of a press is refused in words; no cut makes a panic.
func TestDamagedProfiles(t *testing.T) {
	for _, path := range []string{demo, newForm(t), narrow(t)} {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for n := 0; n < len(data); n += 97 {
			cut := data[:n]
			if p, err := profile.Parse(cut); err == nil {
				if _, err := p.Lab([]float64{.5, .5, .5, .5}); err != nil {
					t.Errorf("cut at %d: %v", n, err)
				}
			}
		}
		for i := range 2000 { // one byte wrong
			bad := append([]byte(nil), data...)
			bad[i*len(data)/2000] ^= 0xff
			if p, err := profile.Parse(bad); err == nil {
				_, _ = p.Lab(make([]float64, p.Channels))
			}
		}
	}
	whole, _ := os.ReadFile(demo)
	change := func(at int, to string) []byte {
		b := append([]byte(nil), whole...)
		copy(b[at:], to)
		return b
	}
	for want, data := range map[string][]byte{
		"no ICC profile":             []byte("hello"),
		"none for a press":           change(16, "Luv "),
		"not by CIELAB or XYZ":       change(20, "Luv "),
		"has no table":               []byte(strings.ReplaceAll(string(whole), "A2B", "X2B")),
		"no media white":             []byte(strings.ReplaceAll(string(whole), "wtpt", "xxxx")),
		`form "zzzz" can't`:          change(0x398, "zzzz"),
		"4 inputs, 3 outputs and 1":  change(0x398+8, "\x04\x03\x01"),
		"9 inputs, 3 outputs and 9 ": change(0x398+8, "\x09\x03\x09"),
	} {
		_, err := profile.Parse(data)
		if err == nil || !strings.Contains(err.Error(), want) || say.Hint(err) == "" {
			t.Errorf("got %v; want %q", err, want)
		}
	}
}
