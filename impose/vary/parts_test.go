package vary_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"quoin/impose/vary"
	"quoin/impose/witness"
)

// childKey names the folder in which this test binary, started anew, writes a
// run until it is killed.
const childKey = "QUOIN_VARY_CHILD"

// registerKey names the register of that run; "" for none.
const registerKey = "QUOIN_VARY_REGISTER"

func TestChild(t *testing.T) {
	dir := os.Getenv(childKey)
	if dir == "" {
		t.Skip("this is for TestKilledRunsGoOn")
	}
	o := vary.Output{Path: filepath.Join(dir, "run.pdf"), Frames: 3, Identity: "test", Register: os.Getenv(registerKey)}
	if _, err := runToKill(t).Write(context.Background(), o); err != nil {
		t.Fatal(err)
	}
}

// runToKill is a run of 500 labels in 32 frames.
func runToKill(t testing.TB) *vary.Run {
	p := plan(t, 500, textField(), qrField())
	p.Across = true
	p.Route.Windings = 1
	return prepare(t, p)
}

func write(t testing.TB, r *vary.Run, dir string) []vary.Part {
	t.Helper()
	parts, err := r.Write(context.Background(), vary.Output{Path: filepath.Join(dir, "run.pdf"), Frames: 3, Identity: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return parts
}

// folder reads all files of a run but its journal.
func folder(t testing.TB, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range list {
		b, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasSuffix(e.Name(), ".journal") {
			files[e.Name()] = string(b)
		}
	}
	return files
}

// moments gives at how many random moments a test breaks a run off: few, or as
// many as QUOIN_MOMENTS says.
func moments(t *testing.T) int {
	t.Helper()
	text := os.Getenv("QUOIN_MOMENTS")
	if text == "" {
		return 3
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		t.Fatalf("QUOIN_MOMENTS=%s is no number of moments", text)
	}
	return n
}

// A run is killed at random moments, and goes on each time. In the
// end every file is equal to that of an unbroken run, byte for byte, and every
// record is in the ledgers once.
func TestKilledRunsGoOn(t *testing.T) {
	t.Parallel()
	kills := moments(t)
	whole := t.TempDir()
	start := time.Now()
	write(t, runToKill(t), whole)
	took := time.Since(start) + 50*time.Millisecond
	want := folder(t, whole)
	random := rand.New(rand.NewPCG(1, 2))
	dir := t.TempDir()
	killed, finished := 0, 0
	for killed < kills {
		child := exec.Command(os.Args[0], "-test.run", "^TestChild$")
		child.Env = append(os.Environ(), childKey+"="+dir)
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(random.Float64() * float64(took) * 0.7))
		child.Process.Kill()
		err := child.Wait()
		var exit *exec.ExitError
		switch {
		case err == nil: // it was quicker: check it, and begin anew
			finished++
			if off := differing(folder(t, dir), want); off != "" {
				t.Fatalf("a run that was killed and ended gave other files: %s", off)
			}
			dir = t.TempDir()
		case errors.As(err, &exit) && exit.ExitCode() == -1:
			killed++
		default:
			t.Fatal(err)
		}
	}
	parts := write(t, runToKill(t), dir)
	if off := differing(folder(t, dir), want); off != "" {
		t.Fatalf("a run that was killed gave other files: %s", off)
	}
	t.Logf("killed %d times, ended by itself %d times", killed, finished)
	seen := map[int64]int{}
	for _, p := range parts {
		b, err := os.ReadFile(p.Ledger)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries(t, b) {
			if e.state == "printed" {
				seen[e.record]++
			}
		}
	}
	for n := int64(1); n <= 500; n++ {
		if seen[n] != 1 {
			t.Fatalf("record %d is printed %d times", n, seen[n])
		}
	}
}

// differing names the files that two runs have not alike, with their bytes; "" where
// all are.
func differing(got, want map[string]string) string {
	var list []string
	for name := range got {
		if _, both := want[name]; !both {
			list = append(list, name+" is new")
		}
	}
	for name, text := range want {
		if other, there := got[name]; !there {
			list = append(list, name+" is missing")
		} else if other != text {
			list = append(list, fmt.Sprintf("%s has %d bytes, want %d others", name, len(other), len(text)))
		}
	}
	slices.Sort(list)
	return strings.Join(list, ", ")
}

// The parts' ledgers, one behind another, are that of the whole, and the parts'
// pages together say what those of the whole say.
func TestPartsContinueExactly(t *testing.T) {
	dir := t.TempDir()
	parts := write(t, runToKill(t), dir)
	if len(parts) != 11 || parts[10].Frames != 2 || parts[10].First != 31 {
		t.Fatalf("%d parts: %+v", len(parts), parts)
	}
	_, want := written(t, runToKill(t))
	head, _, _ := bytes.Cut(want, []byte("\n"))
	got := append(head, '\n')
	for _, p := range parts {
		b, err := os.ReadFile(p.Ledger)
		if err != nil {
			t.Fatal(err)
		}
		_, rows, _ := bytes.Cut(b, []byte("\n"))
		got = append(got, rows...)
		witness.QPDFCheck(t, p.File)
	}
	if !bytes.Equal(got, want) {
		t.Error("the ledgers of the parts are not that of the whole")
	}
	pdf, _ := written(t, runToKill(t))
	text := textOf(t, save(t, "whole.pdf", pdf))
	for _, p := range parts {
		text = strings.TrimPrefix(text, textOf(t, p.File))
	}
	if text != "" {
		t.Errorf("the parts' text ends before %.80q of the whole's", text)
	}
}

// textOf gives the text of all pages.
func textOf(t testing.TB, path string) string {
	t.Helper()
	out, err := exec.Command(witness.Need(t, "pdftotext"), "-layout", path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

func TestNothingIsWrittenTwiceUnasked(t *testing.T) {
	dir := t.TempDir()
	first := write(t, runToKill(t), dir)
	before := folder(t, dir)
	os.Remove(first[2].File) // gone to the press
	os.Remove(first[2].Ledger)
	again := write(t, runToKill(t), dir)
	for i, p := range again {
		if !p.Before || p.Gone != (i == 2) {
			t.Errorf("part %d: %+v", p.Number, p)
		}
	}
	if got := len(folder(t, dir)); got != len(before)-2 {
		t.Errorf("%d files, want %d: some were written again", got, len(before)-2)
	}

	write := func(r *vary.Run) error {
		_, err := r.Write(context.Background(), vary.Output{Path: filepath.Join(dir, "run.pdf"), Frames: 3, Identity: "test"})
		return err
	}
	p := plan(t, 501, textField())
	if err := write(prepare(t, p)); err == nil || !strings.Contains(err.Error(), "journal of another run") {
		t.Errorf("another run: %v", err)
	}
	if err := os.WriteFile(first[0].File, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := write(runToKill(t)); err == nil || !strings.Contains(err.Error(), "has changed since") {
		t.Errorf("a changed part: %v", err)
	}
	if err := os.Remove(filepath.Join(dir, "run.journal")); err != nil {
		t.Fatal(err)
	}
	if err := write(runToKill(t)); err == nil || !strings.Contains(err.Error(), "is there already") {
		t.Errorf("files without a journal: %v", err)
	}
}

// Only the records that are asked for are printed, each once, and each label is
// what it was in the whole run.
func TestReprint(t *testing.T) {
	list := filepath.Join(t.TempDir(), "spoiled.csv")
	if err := os.WriteFile(list, []byte("record,frame,lane,row,roll,state\n17,2,1,1,1,printed\n3,1,1,1,1,printed\n499,9,9,9,9,printed\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	only, err := vary.ReadNumbers(list, 500)
	if err != nil || !slices.Equal(only, []int64{3, 17, 499}) {
		t.Fatalf("%v, %v", only, err)
	}
	p := plan(t, 500, textField())
	p.Only = only
	_, ledger := written(t, prepare(t, p))
	var printed []int64
	for _, e := range entries(t, ledger) {
		if e.state == "printed" {
			printed = append(printed, e.record)
		}
	}
	slices.Sort(printed)
	if !slices.Equal(printed, only) {
		t.Errorf("printed %v", printed)
	}
}

func TestNumbersThatCannotBe(t *testing.T) {
	for text, want := range map[string]string{
		"3\n4-6\n":                  "",
		"record\n7\n7\n":            "line 3: record 7 is asked for twice",
		"1\n501\n":                  "line 2: there is no record 501 among 500",
		"1-3\n2\n":                  "line 2: record 2 is asked for twice",
		"x\n":                       "line 1",
		"6-4\n":                     "line 1",
		"":                          "names no records",
		"lane,record\n1,5\n2,\n3,9": "",
	} {
		path := filepath.Join(t.TempDir(), "list.csv")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := vary.ReadNumbers(path, 500)
		if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}

// Spare stations, with the demo's label: blank ones stay white, void ones are
// crossed out, repeated ones say their lane's last record.
func TestSpareStations(t *testing.T) {
	for _, spare := range []vary.Spare{vary.Blank, vary.Void, vary.Repeat} {
		p := withArtwork(t, plan(t, 13, textField()))
		p.Spare, p.Across = spare, true
		r := prepare(t, p)
		if n := r.Order.Spare(); n == 0 {
			t.Fatal("there are no spare stations")
		}
		if len(r.Warnings) != 1 || r.Warnings[0].Code != vary.CodeSpare {
			t.Errorf("%v", r.Warnings)
		}
		pdf, ledger := written(t, r)
		path := save(t, "run.pdf", pdf)
		if keep := os.Getenv("KEEP"); keep != "" {
			os.WriteFile(keep+string(spare)+".pdf", pdf, 0o600)
		}
		list := entries(t, ledger)
		last := list[len(list)-1]
		img := witness.MuPDF(t, path, int(r.Order.Frames()), 72)
		label := crop(img, station(t, p.Layout, last.lane, last.row), 72)
		white := 0
		for y := range label.Bounds().Dy() {
			for x := range label.Bounds().Dx() {
				if c, _, _, _ := label.At(x, y).RGBA(); c > 0xfff0 {
					white++
				}
			}
		}
		blank := white == label.Bounds().Dx()*label.Bounds().Dy()
		if blank != (spare == vary.Blank) {
			t.Errorf("%s: the station is blank: %v", spare, blank)
		}
		want := map[vary.Spare]entry{
			vary.Blank: {frame: last.frame, lane: last.lane, row: last.row, roll: 1, state: "blank"},
			vary.Void:  {frame: last.frame, lane: last.lane, row: last.row, roll: 1, state: "void"},
			// Wound twice, the press's sixth lane is the first one at the end: of 13
			// records on six lanes it has 1, 7 and 13.
			vary.Repeat: {record: 13, frame: last.frame, lane: last.lane, row: last.row, roll: 1, state: "repeat"},
		}[spare]
		if p.Layout.Across != 6 || last != want {
			t.Errorf("%d lanes, %s: %+v, want %+v", p.Layout.Across, spare, last, want)
		}
	}
}

// A run that was begun in one file is known by its journal, and so is one in parts.
func TestBegunKnowsItsJournal(t *testing.T) {
	o := vary.Output{Path: filepath.Join(t.TempDir(), "run.pdf")}
	r := prepare(t, plan(t, 40, textField()))
	if r.Begun(o) {
		t.Error("nothing was begun")
	}
	if _, err := r.Write(context.Background(), o); err != nil {
		t.Fatal(err)
	}
	parted := o
	parted.Frames = 1
	if !r.Begun(o) || r.Begun(parted) {
		t.Errorf("begun in one file: %v, in parts: %v", r.Begun(o), r.Begun(parted))
	}
}

// Parts keep the size that a run was begun with; of new ones, a run of one frame more
// than a part has is cut.
func TestUsualFramesAreThoseOfTheBeginning(t *testing.T) {
	r := prepare(t, plan(t, 40, textField()))
	for _, begun := range []int64{0, 1000} {
		o := vary.Output{Path: filepath.Join(t.TempDir(), "run.pdf"), Frames: begun}
		if _, err := r.Write(context.Background(), o); err != nil {
			t.Fatal(err)
		}
		o.Frames = 7
		if got := r.Usual(o); got != begun {
			t.Errorf("begun with %d frames in each part, it would go on with %d", begun, got)
		}
	}
	o := vary.Output{Path: filepath.Join(t.TempDir(), "run.pdf")}
	for labels, want := range map[int64]int64{16 * vary.UsualFrames: 0, 16*vary.UsualFrames + 1: vary.UsualFrames} {
		if got := prepare(t, plan(t, labels, textField())).Usual(o); got != want {
			t.Errorf("%d labels: %d frames in each part, want %d", labels, got, want)
		}
	}
}
