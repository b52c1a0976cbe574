package plate

import (
	"bufio"
	"compress/zlib"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"time"

	"quoin/impose/raster"
)

// Cache keeps plates in a folder by what they show: the copy that a plate is
// drawn from says all of it, so a plate is found again wherever its artwork
// has gone, and never after that has changed. A nil Cache keeps nothing. What
// can't be kept is drawn again: a cache never makes a plate fail.
type Cache struct {
	dir  string
	most int64
}

// cacheVersion changes whenever a plate of the same copy may come out
// differently, as with another renderer.
const cacheVersion = "2"

// OpenCache gives the cache in a folder, which need not exist yet and is kept
// below most bytes.
func OpenCache(dir string, most int64) *Cache { return &Cache{dir, most} }

// UserCache gives the user's own cache; nil if there is no place for one.
func UserCache() *Cache {
	base, err := os.UserCacheDir()
	if err != nil {
		return nil
	}
	return OpenCache(filepath.Join(base, "quoin", "plates"), 256<<20)
}

// path gives where a plate is kept that is drawn from a copy.
func (c *Cache) path(g Grid, fine int, from *raster.Draft) (string, error) {
	if c == nil {
		return "", nil
	}
	h := sha256.New()
	r, err := from.Reader()
	if err == nil {
		_, err = io.Copy(h, r)
	}
	if err != nil {
		return "", err
	}
	fmt.Fprintf(h, "%s %d x %d, %d", cacheVersion, g.Width, g.Height, fine)
	return filepath.Join(c.dir, hex.EncodeToString(h.Sum(nil))), nil
}

// read hands out a plate that is kept, and reports whether there is one. A
// damaged one counts as none, unless some of it has been handed out.
func (c *Cache) read(ctx context.Context, path string, g Grid, take func(Band) error) (bool, error) {
	if c == nil {
		return false, nil
	}
	f, err := os.Open(path)
	if err != nil {
		return false, nil
	}
	defer f.Close()
	if !whole(f, g) {
		return false, nil
	}
	z, err := zlib.NewReader(bufio.NewReader(f))
	if err != nil {
		return false, nil
	}
	now := time.Now()
	os.Chtimes(path, now, now) // so that it is pruned last
	rows := raster.BandRows(g.Width)
	for y := 0; y < g.Height; y += rows {
		if err := ctx.Err(); err != nil {
			return true, err
		}
		pixels := make([]byte, g.Width*min(rows, g.Height-y))
		if _, err := io.ReadFull(z, pixels); err != nil {
			return true, fmt.Errorf("a plate kept in %s: %w", path, err)
		}
		if err := take(Band{y, g.Width, pixels}); err != nil {
			return true, err
		}
	}
	return true, nil
}

// whole reads a plate once to its end, where its checksum stands.
func whole(f *os.File, g Grid) bool {
	z, err := zlib.NewReader(bufio.NewReader(f))
	if err != nil {
		return false
	}
	n, err := io.Copy(io.Discard, z)
	if err != nil || n != int64(g.Width)*int64(g.Height) {
		return false
	}
	_, err = f.Seek(0, io.SeekStart)
	return err == nil
}

// keeping writes a plate into the cache. Its methods may be called on nil.
type keeping struct {
	cache *Cache
	path  string
	file  *os.File
	z     *zlib.Writer
	err   error
}

func (c *Cache) write(path string) *keeping {
	if c == nil || os.MkdirAll(c.dir, 0o700) != nil {
		return nil
	}
	f, err := os.CreateTemp(c.dir, "new-*")
	if err != nil {
		return nil
	}
	z, _ := zlib.NewWriterLevel(f, zlib.BestSpeed)
	return &keeping{cache: c, path: path, file: f, z: z}
}

func (k *keeping) add(pixels []byte) {
	if k != nil && k.err == nil {
		_, k.err = k.z.Write(pixels)
	}
}

// abandon leaves nothing behind of a plate that was not finished.
func (k *keeping) abandon() {
	if k != nil && k.file != nil {
		k.file.Close()
		os.Remove(k.file.Name())
	}
}

func (k *keeping) finish() {
	if k == nil || k.err != nil || k.z.Close() != nil || k.file.Close() != nil {
		return
	}
	if os.Rename(k.file.Name(), k.path) == nil {
		k.file = nil
		k.cache.prune()
	}
}

// prune removes the plates that were used longest ago until the rest is small
// enough.
func (c *Cache) prune() {
	entries, err := os.ReadDir(c.dir)
	if err != nil {
		return
	}
	var files []os.FileInfo
	var total int64
	for _, e := range entries {
		if info, err := e.Info(); err == nil && info.Mode().IsRegular() {
			files = append(files, info)
			total += info.Size()
		}
	}
	slices.SortFunc(files, func(a, b os.FileInfo) int { return a.ModTime().Compare(b.ModTime()) })
	for _, f := range files {
		if total <= c.most {
			return
		}
		if os.Remove(filepath.Join(c.dir, f.Name())) == nil {
			total -= f.Size()
		}
	}
}
