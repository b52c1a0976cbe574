package queueshop

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"quoin/geometry/trials"
	"quoin/impose/wholefile"
)

// TestWatchedFolderAnswersOnce puts files of all kinds into a folder, in pieces, by
// renames, with markers and over each other, under names in several scripts, while
// two watchers look at it, one of which hands its work to a queue, and are killed
// now and then. Each content that stayed must be answered, and no content twice.
// QUOIN_WATCHED=1h keeps on for an hour.
func TestWatchedFolderAnswersOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("watches for a while")
	}
	t.Parallel()
	long, pause := 2500*time.Millisecond, 150*time.Millisecond
	if trials.Long() {
		long = 10 * time.Second
	}
	if text := os.Getenv("QUOIN_WATCHED"); text != "" {
		var err error
		if long, err = time.ParseDuration(text); err != nil {
			t.Fatal(err)
		}
		pause = max(pause, long/600)
	}
	w := newWatched(t)
	w.start(0)
	w.start(1)
	rng := rand.New(rand.NewPCG(6, 1))
	kills := 0
	for n, end := 0, time.Now().Add(long); time.Now().Before(end) || n < len(makers); n++ {
		makers[n%len(makers)](w, n, rng)
		time.Sleep(time.Duration(rng.Int64N(int64(pause))))
		if n%20 == 9 { // what it had claimed is taken over once that stands still
			i := rng.IntN(2)
			w.kill(i)
			w.start(i)
			kills++
		}
	}
	w.check()
	t.Logf("%d files, %d kills of watchers, %d contents answered", len(w.want), kills, len(w.times()))
}

// watched is a folder and its two watchers.
type watched struct {
	*testing.T
	shop    *shop
	in, out string
	art     []byte
	want    map[string]string // state by name
	tables  map[string]bool   // that may be refused until the job comes that names them
	late    map[string]bool   // jobs that may be until their artwork comes

	mu      sync.Mutex
	logs    []*bytes.Buffer
	running [2]*exec.Cmd
}

const webText = "web: 340mm\nwindings: 1\ngap: 3x3mm\nbleed: 1mm\nframe-max: 300mm\n"

func newWatched(t *testing.T) *watched {
	w := &watched{T: t, in: t.TempDir(), out: t.TempDir(), shop: openShop(t, 1, 1), want: map[string]string{}, tables: map[string]bool{}, late: map[string]bool{}}
	var err error
	if w.art, err = os.ReadFile("../../../samples/artwork/orchard-juice.pdf"); err != nil {
		t.Fatal(err)
	}
	w.put("customer X/defaults.yaml", []byte(webText+"artworks:\n  - {file: any.pdf, quantity: 500}\n"))
	w.put("art/juice.pdf", w.art)
	w.put("dies.csv", []byte("number,size,lanes,rows,gap,repeat,station\n1,50x75mm,6,4,3x3mm,312mm,flat-bed\n")) // no order list
	t.Cleanup(func() { w.kill(0); w.kill(1) })
	return w
}

func (w *watched) at(name string) string { return filepath.Join(w.in, filepath.FromSlash(name)) }

func (w *watched) put(name string, data []byte) {
	w.Helper()
	os.MkdirAll(filepath.Dir(w.at(name)), 0o777)
	if err := os.WriteFile(w.at(name), data, 0o666); err != nil {
		w.Fatal(err)
	}
}

func (w *watched) start(i int) {
	args := []string{"watch", w.in, "--out", w.out, "--every", "200ms", "--still", "500ms", "--log-json"}
	if i == 1 {
		args = append(args, "--queue", w.shop.url)
	}
	cmd := exec.Command(program, args...)
	if os.Getenv("QUOIN_WATCHED") == "" {
		cmd.Env = append(os.Environ(), "QUOIN_CLAIM_DEAD=4s")
	}
	log := &bytes.Buffer{}
	cmd.Stderr = log
	if err := cmd.Start(); err != nil {
		w.Fatal(err)
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	w.logs, w.running[i] = append(w.logs, log), cmd
}

func (w *watched) kill(i int) {
	if c := w.running[i]; c != nil {
		c.Process.Kill()
		c.Wait()
		w.running[i] = nil
	}
}

// makers put files of one kind each into the folder, of which the number is n.
var makers = []func(w *watched, n int, rng *rand.Rand){
	inPieces,
	func(w *watched, n int, _ *rand.Rand) { // renamed in
		name := w.name("customer X", n, ".pdf", "done")
		w.put(".way", w.art)
		if err := os.Rename(w.at(".way"), w.at(name)); err != nil {
			w.Fatal(err)
		}
	},
	func(w *watched, n int, _ *rand.Rand) { // with a marker
		name := w.name("customer X", n, ".pdf", "done")
		w.put(name, w.art)
		w.put(name+".ready", nil)
	},
	func(w *watched, n int, _ *rand.Rand) {
		w.put(w.name("customer X", n, ".pdf", "refused"), w.art[:len(w.art)/3])
	},
	func(w *watched, n int, _ *rand.Rand) {
		w.put(w.name("jobs", n, ".yaml", "done"), []byte(webText+"artworks:\n  - {file: ../art/juice.pdf, quantity: 500}\n"))
	},
	inPieces,
	func(w *watched, n int, _ *rand.Rand) {
		w.put(w.name("jobs", n, ".yml", "refused"), []byte(webText+"colour-of-the-sky: blue\nartworks:\n  - {file: none.pdf, quantity: many}\n"))
	},
	func(w *watched, n int, _ *rand.Rand) { w.put(w.name("customer X", n, ".csv", "done"), orderText(",")) },
	func(w *watched, n int, _ *rand.Rand) { w.put(w.name("customer X", n, ".xlsx", "done"), w.workbook()) },
	func(w *watched, n int, _ *rand.Rand) { w.put(w.name("customer X", n, ".tsv", "done"), orderText("\t")) },
	func(w *watched, n int, _ *rand.Rand) {
		w.put(w.name("customer X", n, ".yaml", "done"), []byte("# of the day\norders:\n- {order: 1, quantity: 900, artwork: ../art/juice.pdf}\n"))
	},
	func(w *watched, n int, _ *rand.Rand) { w.put(w.name("customer X", n, ".txt", "done"), orderText(";")) },
	func(w *watched, n int, _ *rand.Rand) { // every label another one
		records := "number\n"
		for i := range 90 {
			records += fmt.Sprintf("%d\n", 100*n+i)
		}
		w.put(".records", []byte(records))
		w.put(".way", fmt.Appendf(nil, "%sartworks:\n  - {file: ../art/juice.pdf, quantity: 90}\ndata: {file: numbers %d.csv}\n"+
			"fields:\n  - {name: number, value: \"{number}\", at: 5x5mm, ink: Black, font: mono, cap: 1.2mm, width: 6.6mm}\n", webText, n))
		name := w.name("runs", n, ".yaml", "done")
		os.MkdirAll(w.at("runs"), 0o777)
		os.Rename(w.at(".records"), w.at(fmt.Sprintf("runs/numbers %d.csv", n)))
		os.Rename(w.at(".way"), w.at(name))
	},
	func(w *watched, n int, _ *rand.Rand) { // its records some time before it
		table := fmt.Sprintf("runs/early %d.csv", n)
		w.put(table, fmt.Appendf(nil, "number\n%d\n%d\n", 100*n+98, 100*n+99))
		w.tables[table] = true
		time.Sleep(700 * time.Millisecond)
		w.put(w.name("runs", n, ".yaml", "done"), fmt.Appendf(nil, "%sartworks:\n  - {file: ../art/juice.pdf, quantity: 2}\ndata: {file: early %d.csv}\n"+
			"fields:\n  - {name: number, value: \"{number}\", at: 5x5mm, ink: Black, font: mono, cap: 1.2mm, width: 6.6mm}\n", webText, n))
	},
	func(w *watched, n int, _ *rand.Rand) { // and its artwork some time after it
		art := fmt.Sprintf("late %d.pdf", n)
		name := w.name("jobs", n, ".yaml", "done")
		w.late[name] = true
		w.put(name, fmt.Appendf(nil, "%sartworks:\n  - {file: %s, quantity: 500}\n", webText, art))
		time.Sleep(700 * time.Millisecond)
		w.put("jobs/"+art, w.art[:len(w.art)/2])
		time.Sleep(200 * time.Millisecond)
		w.put("jobs/"+art, w.art)
	},
	func(w *watched, n int, _ *rand.Rand) {
		w.put(w.name("customer X", n, ".xlsx", "refused"), []byte("PK\x03\x04 and no more"))
	},
	func(w *watched, n int, rng *rand.Rand) { // a better one over it, perhaps while it is done
		name := w.name("customer X", n, ".pdf", "done")
		w.put(name, fmt.Appendf(nil, "%%PDF-1.7\nspoilt %d", n))
		time.Sleep(time.Duration(300+rng.IntN(700)) * time.Millisecond)
		w.put(".way", w.art)
		if err := os.Rename(w.at(".way"), w.at(name)); err != nil {
			w.Fatal(err)
		}
	},
}

func inPieces(w *watched, n int, rng *rand.Rand) {
	name := w.name("customer X", n, ".pdf", "done")
	half := rng.IntN(len(w.art))
	w.put(name, w.art[:half])
	time.Sleep(time.Duration(rng.IntN(300)) * time.Millisecond)
	w.put(name, w.art)
}

// name makes a name in some script, and notes what is to become of it.
func (w *watched) name(folder string, n int, ending, state string) string {
	script := []string{"Saft", "сок", "蘋果汁", "عصير", "a b'c"}[n%5]
	name := fmt.Sprintf("%s/%s-%d%s", folder, script, n, ending)
	w.want[name] = state
	return name
}

func orderText(comma string) []byte {
	return []byte(strings.ReplaceAll("order,quantity,artwork\n1,900,../art/juice.pdf\n2,700,../art/juice.pdf\n", ",", comma))
}

func (w *watched) workbook() []byte {
	f := excelize.NewFile()
	defer f.Close()
	for i, line := range strings.Split(strings.TrimSpace(string(orderText(","))), "\n") {
		for k, cell := range strings.Split(line, ",") {
			f.SetCellStr("Sheet1", fmt.Sprintf("%c%d", 'A'+k, i+1), cell)
		}
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		w.Fatal(err)
	}
	return b.Bytes()
}

// answered is what stands beside a file.
type answered struct {
	State, SHA256, Reason string
	Files                 []string
}

func (w *watched) answer(name string) (a answered) {
	data, err := os.ReadFile(w.at(name) + ".answer.json")
	if err != nil {
		return a
	}
	if err := json.Unmarshal(data, &a); err != nil {
		w.Fatal(err)
	}
	return a
}

// check waits for all answers and looks at them.
func (w *watched) check() {
	owner := map[string]string{}
	for name, state := range w.want {
		sum, err := wholefile.SHA256(w.at(name))
		if err != nil {
			w.Fatal(err)
		}
		var a answered
		for a.SHA256 != sum || w.late[name] && a.State != state { // go test's own bound ends what never comes
			time.Sleep(50 * time.Millisecond)
			a = w.answer(name)
		}
		if a.State != state || state == "refused" && a.Reason == "" {
			w.Errorf("%s is answered by %q (%s), want %s", name, a.State, a.Reason, state)
		}
		if _, err := os.Stat(w.at(name) + map[string]string{"done": ".done.txt", "refused": ".refused.txt"}[state]); err != nil {
			w.Error(err)
		}
		for _, file := range a.Files {
			if owner[file] != "" {
				w.Errorf("%s and %s have one file, %s", name, owner[file], file)
			}
			owner[file] = name
			if _, err := os.Stat(filepath.Join(w.out, filepath.FromSlash(file))); err != nil {
				w.Error(err)
			}
		}
		if _, err := os.Stat(w.at(name) + ".ready"); err == nil {
			w.Errorf("the marker of %s stays", name)
		}
	}
	for name := range w.tables {
		for w.answer(name).State != "" {
			time.Sleep(50 * time.Millisecond)
		}
	}
	w.kill(0)
	w.kill(1)
	asked := map[string]bool{}
	for of, n := range w.times() {
		if name := of[0]; w.tables[name] {
			continue
		} else if w.want[name] == "" {
			w.Errorf("%s was answered, and nobody asked", name)
		} else {
			asked[name] = true
		}
		if n > 1 && !w.late[of[0]] || n > 2 { // one that is killed may not have told
			w.Errorf("%s was answered %d times as %s", of[0], n, of[1])
		}
	}
	if len(asked) < len(w.want)*3/4 {
		w.Errorf("the logs tell of %d files only", len(asked))
	}
}

// times counts the answers by file and content.
func (w *watched) times() map[[2]string]int {
	w.mu.Lock()
	defer w.mu.Unlock()
	times := map[[2]string]int{}
	for i, log := range w.logs {
		if i >= len(w.logs)-2 && (w.running[0] != nil || w.running[1] != nil) {
			continue // it is being written
		}
		for line := range strings.Lines(log.String()) {
			var e struct{ Msg, File, SHA256 string }
			if json.Unmarshal([]byte(line), &e) == nil && e.Msg == "answered a file" {
				times[[2]string{e.File, e.SHA256}]++
			}
		}
	}
	return times
}
