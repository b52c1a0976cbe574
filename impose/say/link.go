package say

import (
	"errors"
	"io/fs"
	"os"
)

// Dangling says of a path that is a symbolic link whose file isn't there what it
// is; "" of any other.
func Dangling(path string) string {
	to, err := os.Readlink(path)
	if err != nil {
		return ""
	}
	if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
		return ""
	}
	return "a symbolic link to " + to + ", which isn't there"
}

// DanglingWay returns the way out of such a path; "" of any other.
func DanglingWay(path string) string {
	if what := Dangling(path); what != "" {
		return "it is " + what + ": mend the link, or name the file"
	}
	return ""
}
