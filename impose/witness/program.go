package witness

import (
	"fmt"
	"os/exec"
	"path/filepath"
)

// Program puts quoin into a folder as it is delivered and gives its path. What go run
// has linked it keeps, so that several packages of tests link it once.
func Program(dir string) (string, error) {
	path := filepath.Join(dir, "quoin")
	out, err := exec.Command("go", "run", "-trimpath", "-ldflags=-s -w", "-exec", "cp", "quoin/cmd/quoin", path).CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("building quoin: %w\n%s", err, out)
	}
	return path, nil
}
