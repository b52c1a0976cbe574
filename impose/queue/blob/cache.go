package blob

import (
	"container/list"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"

	"quoin/impose/wholefile"
)

// Cache keeps contents as files named by their sums, the last used longest, within
// a bound. It is of one process.
type Cache struct {
	store *Store
	dir   string
	bound int64 // of all
	most  int64 // of one

	mu    sync.Mutex
	held  map[string]*content
	order *list.List // of sums, the last used first
	bytes int64
	busy  map[string]chan struct{} // being fetched
}

type content struct {
	bytes int64
	users int
	at    *list.Element
}

// NewCache begins a cache in a folder; what an earlier process left there under
// true sums is taken over.
func NewCache(s *Store, dir string, bound, most int64) (*Cache, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, err
	}
	c := &Cache{store: s, dir: dir, bound: bound, most: most, held: map[string]*content{}, order: list.New(), busy: map[string]chan struct{}{}}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		path := filepath.Join(dir, e.Name())
		info, err := e.Info()
		if sum, wrong := wholefile.SHA256(path); err != nil || wrong != nil || sum != e.Name() {
			os.Remove(path)
			continue
		}
		c.held[e.Name()] = &content{bytes: info.Size(), at: c.order.PushBack(e.Name())}
		c.bytes += info.Size()
	}
	c.evict()
	return c, nil
}

// Hold returns where a content lies and keeps it there until release is called.
// It is fetched once, however many want it.
func (c *Cache) Hold(ctx context.Context, sum string) (path string, release func(), err error) {
	for {
		c.mu.Lock()
		if h := c.held[sum]; h != nil {
			h.users++
			c.order.MoveToFront(h.at)
			c.mu.Unlock()
			return filepath.Join(c.dir, sum), sync.OnceFunc(func() { c.release(sum) }), nil
		}
		wait, busy := c.busy[sum]
		if !busy {
			c.busy[sum] = make(chan struct{})
		}
		c.mu.Unlock()
		if !busy {
			err := c.fetch(ctx, sum)
			c.mu.Lock()
			close(c.busy[sum])
			delete(c.busy, sum)
			c.mu.Unlock()
			if err != nil {
				return "", nil, err
			}
			continue
		}
		select {
		case <-wait:
		case <-ctx.Done():
			return "", nil, ctx.Err()
		}
	}
}

func (c *Cache) release(sum string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.held[sum].users--
	c.evict()
}

// fetch brings a content into the cache.
func (c *Cache) fetch(ctx context.Context, sum string) error {
	f, err := os.CreateTemp(c.dir, ".fetching-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	err = c.store.Fetch(ctx, sum, c.most, f)
	info, wrong := f.Stat()
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = wrong
	}
	if err != nil {
		return err
	}
	if err := os.Rename(f.Name(), filepath.Join(c.dir, sum)); err != nil {
		return fmt.Errorf("keeping a content: %w", err)
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.held[sum] = &content{bytes: info.Size(), at: c.order.PushFront(sum)}
	c.bytes += info.Size()
	// The one that was just fetched is about to be used.
	c.held[sum].users++
	c.evict()
	c.held[sum].users--
	return nil
}

// evict takes the longest unused contents out until the bound is kept; what is in
// use stays.
func (c *Cache) evict() {
	for e := c.order.Back(); e != nil && c.bytes > c.bound; {
		before := e.Prev()
		sum := e.Value.(string)
		if h := c.held[sum]; h.users == 0 {
			c.order.Remove(e)
			delete(c.held, sum)
			c.bytes -= h.bytes
			os.Remove(filepath.Join(c.dir, sum))
		}
		e = before
	}
}

// Bytes returns how much the cache holds.
func (c *Cache) Bytes() int64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.bytes
}
