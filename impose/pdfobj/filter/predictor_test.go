package filter

import (
	"io"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func unpredicted(t testing.TB, data string, p Params) (string, error) {
	t.Helper()
	r, err := unpredict(strings.NewReader(data), p)
	if err != nil {
		return "", err
	}
	out, err := io.ReadAll(r)
	return string(out), err
}

func TestPredictors(t *testing.T) {
	params := func(predictor, colors, bits, columns int) Params {
		return Params{Predictor: predictor, Colors: colors, BitsPerComponent: bits, Columns: columns}
	}
	for _, c := range []struct {
		name, in, want string
		p              Params
	}{
		{"none", "abc", "abc", params(1, 1, 8, 1)},
		{"TIFF, 8 bits", "\x01\x02\x03\x01\x01\x01", "\x01\x02\x03\x02\x03\x04", params(2, 3, 8, 2)},
		{"TIFF, 16 bits", "\x00\xff\x00\x01", "\x00\xff\x01\x00", params(2, 1, 16, 2)},
		{"TIFF, 4 bits", "\x12\x34", "\x13\x6a", params(2, 1, 4, 4)},
		{"TIFF, 2 bits", "\x55", "\x6c", params(2, 1, 2, 4)},
		{"TIFF, 1 bit", "\xff", "\xaa", params(2, 1, 1, 8)},
		{"TIFF, short row", "\x01\x01\x01\x07", "\x01\x02\x03\x07", params(2, 1, 8, 3)},
		{"PNG none", "\x00ab", "ab", params(15, 1, 8, 2)},
		{"PNG sub", "\x01\x01\x01\x01", "\x01\x02\x03", params(11, 1, 8, 3)},
		{"PNG up", "\x02\x01\x02\x02\x01\x01", "\x01\x02\x02\x03", params(12, 1, 8, 2)},
		{"PNG average", "\x00\x04\x06\x03\x01\x01", "\x04\x06\x03\x05", params(13, 1, 8, 2)},
		{"PNG Paeth", "\x00\x04\x06\x04\x01\x01", "\x04\x06\x05\x07", params(14, 1, 8, 2)},
		{"PNG, unknown tag", "\x09ab", "ab", params(15, 1, 8, 2)},
		{"PNG, short row", "\x02ab\x02\x01", "ab\x62", params(12, 1, 8, 2)},
		{"PNG, tag alone", "\x02ab\x02", "ab", params(12, 1, 8, 2)},
	} {
		if got, err := unpredicted(t, c.in, c.p); err != nil || got != c.want {
			t.Errorf("%s: %q, want %q, %v", c.name, got, c.want, err)
		}
	}
	for _, p := range []Params{params(3, 1, 8, 1), params(12, 0, 8, 1), params(12, 1, 3, 1), params(12, 1, 8, 0),
		params(12, 1, 8, 1<<30), params(12, 1<<20, 8, 1<<20), params(-1, 1, 8, -1)} {
		if out, err := unpredicted(t, "", p); err == nil && p.Predictor > 1 {
			t.Errorf("%+v: %q and no error", p, out)
		}
	}
}

// Undoing what a straightforward TIFF differencing did gives the samples.
func TestTIFFAnyDepth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bits := rapid.SampledFrom([]int{1, 2, 4, 8}).Draw(t, "bits")
		colors := rapid.IntRange(1, 5).Draw(t, "colors")
		columns := rapid.IntRange(1, 40).Draw(t, "columns")
		samples := rapid.SliceOfN(rapid.IntRange(0, 1<<bits-1), colors*columns, colors*columns).Draw(t, "samples")
		pack := func(value func(i int) int) string {
			row := make([]byte, (len(samples)*bits+7)/8)
			for i := range samples {
				row[i*bits/8] |= byte(value(i)&(1<<bits-1)) << (8 - bits - i*bits%8)
			}
			return string(row)
		}
		encoded := pack(func(i int) int {
			if i < colors {
				return samples[i]
			}
			return samples[i] - samples[i-colors]
		})
		r, err := unpredict(strings.NewReader(encoded), Params{Predictor: 2, Colors: colors, BitsPerComponent: bits, Columns: columns})
		if err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		want := pack(func(i int) int { return samples[i] })
		// Bits past the last sample mean nothing.
		used := len(samples) * bits
		if string(got)[:used/8] != want[:used/8] {
			t.Fatalf("%x, want %x", got, want)
		}
	})
}
