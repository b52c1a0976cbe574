package queueshop

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"quoin/impose/night/nighttest"
)

// queueNight is a night of many short runs.
func queueNight(tb testing.TB, dir string, runs int) (command []string) {
	tb.Helper()
	command = nighttest.Small(tb, "../../../samples", dir)
	var b strings.Builder
	b.WriteString("order,quantity,artwork,material\n")
	for i := range 2 * runs {
		fmt.Fprintf(&b, "%d,%d,%s.pdf,stock %d\n", 100+i, 900+70*i, []string{"juice", "cider", "perry"}[i%3], i/2)
	}
	if err := os.WriteFile(filepath.Join(dir, "orders.csv"), []byte(b.String()), 0o666); err != nil {
		tb.Fatal(err)
	}
	return command
}

// night is one that was built here.
type night struct {
	dir     string   // its orders and artworks
	command []string // the folder for the night follows
	want    map[string]string
}

// runsOfNight is how many runs the shared night has: enough for some to be at
// workers and some to wait whenever one of these is killed.
const runsOfNight = 5

// built is the night that all tests share, built here once.
var built struct {
	sync.Mutex
	*night
}

// theNight returns the shared night; each test writes into folders of its own name.
func theNight(tb testing.TB) *night {
	tb.Helper()
	built.Lock()
	defer built.Unlock()
	if built.night == nil {
		n := &night{dir: filepath.Join(filepath.Dir(program), "night")}
		if err := os.Mkdir(n.dir, 0o777); err != nil {
			tb.Fatal(err)
		}
		n.command = nighttest.Apart(queueNight(tb, n.dir, runsOfNight))
		if code, said := nighttest.Gang(tb, program, n.dir, n.args("local")); code != exitDone {
			tb.Fatalf("the local night ends with %d: %s", code, said)
		}
		n.want = nighttest.Contents(tb, filepath.Join(n.dir, "local"))
		built.night = n
	}
	return built.night
}

// args is the command that builds it into a folder.
func (n *night) args(folder string, more ...string) []string {
	return append(append(slices.Clone(n.command), folder), more...)
}

// same compares a folder with the local one.
func (n *night) same(tb testing.TB, folder string) {
	tb.Helper()
	nighttest.SameContents(tb, nighttest.Contents(tb, filepath.Join(n.dir, folder)), n.want)
}
