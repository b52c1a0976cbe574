package plate

import (
	"bufio"
	"compress/zlib"
	"context"
	"encoding/hex"
	"fmt"
	"hash"
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
const cacheVersion = "3"

// OpenCache returns the cache in a folder, which need not exist yet and is kept
// below most bytes.
func OpenCache(dir string, most int64) *Cache { return &Cache{dir, most} }

// UserCache returns the user's own cache; nil if there is no place for one.
func UserCache() *Cache {
	base, err := os.UserCacheDir()
	if err != nil {
		return nil
	}
	return OpenCache(filepath.Join(base, "quoin", "plates"), 256<<20)
}

// path returns where the plates are kept that are drawn from copies which were written
// to a hash: row by row, those of all plates in turn.
func (c *Cache) path(g Grid, fine int, of hash.Hash) string {
	if c == nil {
		return ""
	}
	fmt.Fprintf(of, "%s %d x %d, %d", cacheVersion, g.Width, g.Height, fine)
	return filepath.Join(c.dir, hex.EncodeToString(of.Sum(nil)))
}

// read hands out so many plates that are kept, and reports whether they are. What is
// damaged counts as none, unless some of it has been handed out.
func (c *Cache) read(ctx context.Context, path string, g Grid, plates int, take func(strip) error) (bool, error) {
	if c == nil {
		return false, nil
	}
	f, err := os.Open(path)
	if err != nil {
		return false, nil
	}
	defer f.Close()
	if !whole(f, plates*g.Pixels()) {
		return false, nil
	}
	z, err := zlib.NewReader(bufio.NewReader(f))
	if err != nil {
		return false, nil
	}
	now := time.Now()
	os.Chtimes(path, now, now) // so that it is pruned last
	rows := raster.BandRows(g.Width)
	planes := make([][]byte, plates)
	for y := 0; y < g.Height; y += rows {
		if err := ctx.Err(); err != nil {
			return true, err
		}
		for n := range planes {
			planes[n] = slices.Grow(planes[n][:0], g.Width*min(rows, g.Height-y))
		}
		for range min(rows, g.Height-y) {
			for n, p := range planes {
				planes[n] = p[:len(p)+g.Width]
				if _, err := io.ReadFull(z, planes[n][len(p):]); err != nil {
					return true, fmt.Errorf("a plate kept in %s: %w", path, err)
				}
			}
		}
		if err := take(strip{y, planes}); err != nil {
			return true, err
		}
	}
	return true, nil
}

// whole reads so many pixels once to their end, where their checksum stands.
func whole(f *os.File, pixels int) bool {
	z, err := zlib.NewReader(bufio.NewReader(f))
	if err != nil {
		return false
	}
	n, err := io.Copy(io.Discard, z)
	if err != nil || n != int64(pixels) {
		return false
	}
	_, err = f.Seek(0, io.SeekStart)
	return err == nil
}

// keeping writes plates into the cache. Its methods may be called on nil.
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

func (k *keeping) keep(drawn strip, width int) {
	for at := 0; k != nil && at < len(drawn.planes[0]); at += width {
		for _, plane := range drawn.planes {
			if k.err == nil {
				_, k.err = k.z.Write(plane[at : at+width])
			}
		}
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
