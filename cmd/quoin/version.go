package main

import (
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"
	"sync"

	"quoin/impose/wholefile"
)

// printVersion says what was built.
func printVersion(w io.Writer) error {
	_, err := fmt.Fprintf(w, "quoin %s\n", versionText())
	return err
}

// versionText says which build this is: two that differ never share it, as it
// goes into a night's key. Where version control doesn't say, or the tree was
// changed since, the program's own hash does.
var versionText = sync.OnceValue(func() string {
	version := "unknown"
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		version = info.Main.Version
	}
	if version != "unknown" && version != "(devel)" && !strings.HasSuffix(version, "+dirty") {
		return version
	}
	path, err := os.Executable()
	if err != nil {
		return version
	}
	sum, err := wholefile.SHA256(path)
	if err != nil {
		return version
	}
	return version + " " + sum[:12]
})
