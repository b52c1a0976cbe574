package night

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"path/filepath"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"quoin/impose/job"
	"quoin/impose/summary"
	"quoin/impose/wholefile"
)

// Input reads a file that the night is made from, such as the order file, and
// gives its name, as the night's files have it, and its SHA-256.
func (r *Rules) Input(role, path string) (summary.File, error) {
	sum, err := wholefile.SHA256(path)
	if r.Seen != nil {
		path = r.Seen(path)
	}
	return summary.File{Role: role, Path: filepath.ToSlash(path), SHA256: sum}, err
}

// Key stands for all that a night's folder depends on: its input files, the
// artworks of its orders, the words of its command line and the program's
// version. A missing artwork is part of it too.
func Key(ctx context.Context, inputs []summary.File, orders []job.Order, words []string) (string, error) {
	artworks := map[string]string{} // paths, by how the order file says them
	for i := range orders {
		if orders[i].Artwork != "" {
			artworks[orders[i].Artwork] = orders[i].ArtworkPath()
		}
	}
	names := slices.Sorted(maps.Keys(artworks))
	sums := make([]string, len(names))
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i, name := range names {
		g.Go(func() error {
			var err error
			if sums[i], err = wholefile.SHA256(artworks[name]); err != nil {
				sums[i] = "unreadable"
			}
			return ctx.Err()
		})
	}
	if err := g.Wait(); err != nil {
		return "", err
	}
	h := sha256.New()
	fmt.Fprintf(h, "%s\n%q\n", PlanSchema, words)
	for _, in := range inputs {
		fmt.Fprintf(h, "%q %q %s\n", in.Role, in.Path, in.SHA256)
	}
	for i, name := range names {
		fmt.Fprintf(h, "%q %s\n", name, sums[i])
	}
	return "quoin night " + hex.EncodeToString(h.Sum(nil)), nil
}
