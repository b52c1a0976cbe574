package worker

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"image/png"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"quoin/impose/witness"
)

// TestMain lets the test's own program be the drawing process.
func TestMain(m *testing.M) {
	switch os.Getenv("QUOIN_TEST_WORKER") {
	case "draw":
		if err := Serve(context.Background(), os.Stdin, os.Stdout); err != nil {
			os.Exit(1)
		}
		os.Exit(0)
	case "die":
		var b [1]byte
		os.Stdin.Read(b[:])
		os.Exit(3)
	case "hang":
		time.Sleep(time.Hour)
	case "babble":
		os.Stdout.WriteString("{\"bytes\":99999999999}\n")
		time.Sleep(time.Hour)
	}
	os.Exit(m.Run())
}

func as(how *string) func() *exec.Cmd {
	return func() *exec.Cmd {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), "QUOIN_TEST_WORKER="+*how)
		return cmd
	}
}

// TestTheAskerLives: a process that dies, hangs or talks nonsense is an error, and
// the next one draws.
func TestTheAskerLives(t *testing.T) {
	how := "die"
	p := &Pool{Command: as(&how)}
	defer p.Close()
	if _, err := p.Draw(t.Context(), Ask{Do: "page"}, nil); err == nil || !strings.Contains(err.Error(), "ended") {
		t.Errorf("a process that dies: %v", err)
	}
	how = "babble"
	if _, err := p.Draw(t.Context(), Ask{Do: "page"}, nil); err == nil {
		t.Error("an answer without end is waited for")
	}
	how = "hang"
	ctx, stop := context.WithTimeout(t.Context(), 300*time.Millisecond)
	defer stop()
	if _, err := p.Draw(ctx, Ask{Do: "page"}, nil); !errors.Is(err, context.DeadlineExceeded) && err == nil {
		t.Errorf("a process that hangs: %v", err)
	}
	if testing.Short() {
		return
	}
	how = "draw"
	pdf, err := os.ReadFile(witness.Handwritten(t, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 72 36] /Resources << >> /Contents 4 0 R >>", witness.Stream("", "1 0 0 rg 0 0 36 36 re f")))
	if err != nil {
		t.Fatal(err)
	}
	data, err := p.Draw(t.Context(), Ask{Do: "page", DPI: 144}, pdf)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil || img.Bounds().Dx() != 144 {
		t.Fatalf("%v %v", img, err)
	}
	if r, g, _, _ := img.At(10, 30).RGBA(); r != 0xffff || g != 0 {
		t.Error("what is red is not drawn red")
	}
	if _, err := p.Draw(t.Context(), Ask{Do: "page", DPI: 100_000}, pdf); err == nil {
		t.Error("a picture without bounds is drawn")
	}
	if _, err := p.Draw(t.Context(), Ask{Do: "page", DPI: 72}, []byte("no PDF")); err == nil {
		t.Error("what is no PDF is drawn")
	}
	if _, err := p.Draw(t.Context(), Ask{Do: "page", DPI: 72}, pdf); err != nil {
		t.Errorf("after that: %v", err)
	}
}

// TestPlatesAreLookedAt: a bar 1 mm from the cut is found where the job asks for
// 3 mm, and not where it asks for none.
func TestPlatesAreLookedAt(t *testing.T) {
	if testing.Short() {
		t.Skip("draws plates")
	}
	how := "draw"
	p := &Pool{Command: as(&how)}
	defer p.Close()
	// 1 mm is 2.835 points.
	label := witness.Handwritten(t, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 160 110] /TrimBox [10 10 150 100] /Resources << >> /Contents 4 0 R >>", witness.Stream("", "0 0 0 1 k 12.835 40 1.5 12 re f"))
	for rule, want := range map[int64]string{3_000_000: "1.0 mm", -1: ""} {
		data, err := p.Draw(t.Context(), Ask{Do: "plates", DPI: 254, File: label, Page: 1, FromCut: rule}, nil)
		if err != nil {
			t.Fatal(err)
		}
		var got Plates
		if err := json.Unmarshal(data, &got); err != nil {
			t.Fatal(err)
		}
		if said := strings.Join(got.Found, "\n"); (said != "") != (want != "") || !strings.Contains(said, want) {
			t.Errorf("%d nm: %q, want %q", rule, said, want)
		}
	}
}
