package queueshop

import (
	"fmt"
	"os"
	"path/filepath"
	"quoin/impose/night/nighttest"
	"strings"
	"testing"
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

// localNight builds the night here.
func localNight(tb testing.TB, bin, dir string, command []string) map[string]string {
	tb.Helper()
	if code, said := nighttest.Gang(tb, bin, dir, append(append([]string{}, command...), "local")); code != exitDone {
		tb.Fatalf("the local night ends with %d: %s", code, said)
	}
	return nighttest.Contents(tb, filepath.Join(dir, "local"))
}
