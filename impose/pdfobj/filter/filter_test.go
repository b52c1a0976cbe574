package filter

import (
	"bytes"
	"compress/lzw"
	"compress/zlib"
	"encoding/ascii85"
	"encoding/hex"
	"errors"
	"io"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func decode(t testing.TB, data, name string, p Params) (string, error) {
	t.Helper()
	r, err := Decode(strings.NewReader(data), name, p)
	if err != nil {
		return "", err
	}
	out, err := io.ReadAll(r)
	return string(out), err
}

func deflated(t testing.TB, s string) string {
	t.Helper()
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	if _, err := io.WriteString(z, s); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestDecode(t *testing.T) {
	text := strings.Repeat("The quick brown fox. ", 500)
	z := deflated(t, text)
	for _, c := range []struct{ name, filter, in, want string }{
		{"hex", "ASCIIHexDecode", "48 65 6C\n6c6F>ignored", "Hello"},
		{"hex, odd", "AHx", "487>", "Hp"},
		{"hex, no end", "AHx", "4869", "Hi"},
		{"hex, noise", "AHx", "4x8.6z9>", "Hi"},
		{"85", "ASCII85Decode", "87cURD]i,\"Ebo80~>", "Hello World!"},
		{"85, z and a short group", "A85", "z87cUR\nD]~>", "\x00\x00\x00\x00Hello"},
		{"85, no end", "A85", "87cURD]i,\"Ebo80", "Hello World!"},
		{"85, tail of one digit", "A85", "87cUR!~>", "Hell"},
		{"run length", "RunLengthDecode", "\x04Hello\xfe!\x80ignored", "Hello!!!"},
		{"run length, no end", "RL", "\x04Hel", "Hel"},
		{"deflate", "FlateDecode", z, text},
		{"deflate, checksum wrong", "Fl", z[:len(z)-4] + "beef", text},
		{"deflate, checksum missing", "Fl", z[:len(z)-4], text},
		{"deflate, line end first", "Fl", "\r\n" + z, text},
		{"deflate, no header", "Fl", z[2:], text},
		{"deflate, empty", "Fl", "", ""},
		{"crypt", "Crypt", "as it is", "as it is"},
		// The worked example of ISO 32000-1, 7.4.4.2.
		{"LZW", "LZWDecode", "\x80\x0b\x60\x50\x22\x0c\x0c\x85\x01", "\x2d\x2d\x2d\x2d\x2d\x41\x2d\x2d\x2d\x42"},
		{"LZW, cut off", "LZW", "\x80\x0b\x60\x50\x22", "\x2d\x2d\x2d"},
	} {
		got, err := decode(t, c.in, c.filter, DefaultParams)
		if err != nil || !strings.HasPrefix(got, c.want) || len(got) > len(c.want)+4 || c.name != "LZW, cut off" && got != c.want {
			t.Errorf("%s: %.40q, %v", c.name, got, err)
		}
	}
	if got, err := decode(t, z[:len(z)/2], "Fl", DefaultParams); err != nil || got == "" || !strings.HasPrefix(text, got) {
		t.Errorf("deflate, cut off: %.40q, %v", got, err)
	}
	if _, err := decode(t, "\xff\xff\xff\xff", "Fl", DefaultParams); err == nil {
		t.Error("deflate of nonsense gives no error")
	}
	if _, err := decode(t, "x", "Nonsense", DefaultParams); err == nil {
		t.Error("an unknown filter gives no error")
	}
}

func TestSourceErrorsAreNotDamage(t *testing.T) {
	want := errors.New("disk on fire")
	for _, name := range []string{"Fl", "LZW", "AHx", "A85", "RL"} {
		part := map[string]string{
			"Fl":  deflated(t, strings.Repeat("x", 10000))[:8],
			"LZW": "\x80\x0b\x60\x50\x22",
			"AHx": "4849", "A85": "87cUR", "RL": "\x04ab",
		}[name]
		r, err := Decode(io.MultiReader(strings.NewReader(part), broken{want}), name, DefaultParams)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.ReadAll(r); !errors.Is(err, want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

type broken struct{ err error }

func (b broken) Read([]byte) (int, error) { return 0, b.err }

// The standard library writes what we read.
func TestRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SliceOfN(rapid.Byte(), 0, 3000).Draw(t, "data")
		if rapid.Bool().Draw(t, "dull") {
			for i := range data {
				data[i] &= 3
			}
			data = bytes.Repeat(data, 4)
		}
		check := func(name, encoded string, p Params) {
			r, err := Decode(strings.NewReader(encoded), name, p)
			if err != nil {
				t.Fatal(err)
			}
			got, err := io.ReadAll(r)
			if err != nil || !bytes.Equal(got, data) {
				t.Fatalf("%s: %d bytes of %d, %v", name, len(got), len(data), err)
			}
		}
		check("AHx", hex.EncodeToString(data)+">", DefaultParams)
		var b bytes.Buffer
		w := ascii85.NewEncoder(&b)
		w.Write(data)
		w.Close()
		check("A85", b.String()+"~>", DefaultParams)
		b.Reset()
		z := lzw.NewWriter(&b, lzw.MSB, 8)
		z.Write(data)
		z.Close()
		late := DefaultParams
		late.EarlyChange = 0
		check("LZW", b.String(), late)
	})
}
