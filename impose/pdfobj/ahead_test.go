package pdfobj

import (
	"bytes"
	"errors"
	"io"
	"testing"
	"testing/iotest"
)

// TestAheadGivesWhatIsThere reads streams around the size of a chunk, in odd
// pieces and to an error in the middle.
func TestAheadGivesWhatIsThere(t *testing.T) {
	broken := errors.New("broken")
	for _, n := range []int{0, 1, firstChunk, firstChunk + 1, aheadChunk - 1, aheadChunk, aheadChunk + 1, 3*aheadChunk + 7} {
		data := make([]byte, n)
		for i := range data {
			data[i] = byte(i * 7 / 3)
		}
		for _, r := range []io.Reader{bytes.NewReader(data), iotest.HalfReader(bytes.NewReader(data)), iotest.DataErrReader(bytes.NewReader(data))} {
			got, err := io.ReadAll(iotest.OneByteReader(&ahead{r: r}))
			if err != nil || !bytes.Equal(got, data) {
				t.Errorf("%d bytes came out as %d, %v", n, len(got), err)
			}
		}
		got, err := io.ReadAll(&ahead{r: io.MultiReader(bytes.NewReader(data), iotest.ErrReader(broken))})
		if !errors.Is(err, broken) || !bytes.Equal(got, data) {
			t.Errorf("%d bytes before an error came out as %d, %v", n, len(got), err)
		}
	}
}
