package watch

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"time"
)

// claims is the folder that holds what is claimed.
const claims = ".quoin-claims"

// alive is how often the holder of a claim shows that it lives; dead how long a
// claim must have stood still, by the clock of whoever looks, to be taken over.
// QUOIN_CLAIM_DEAD sets it for tests that kill watchers.
var (
	alive = dead / 15
	dead  = func() time.Duration {
		if d, err := time.ParseDuration(os.Getenv("QUOIN_CLAIM_DEAD")); err == nil && d >= time.Second {
			return d
		}
		return 30 * time.Second
	}()
)

// claim is a file that says that another one is being done.
type claim struct {
	path string
	stop chan struct{}
	end  sync.WaitGroup
}

// stood remembers since when claims of others have not changed.
var stood = struct {
	sync.Mutex
	at map[string]stand
}{at: map[string]stand{}}

type stand struct {
	mark  string
	since time.Time
}

// claimFile claims a file of the folder; nil without an error says that another
// watcher has it. Only one can create the claim, also over network drives
// (open(2), O_EXCL; NFS since version 3).
func claimFile(in, name string) (*claim, error) {
	dir := filepath.Join(in, claims)
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, err
	}
	sum := sha256.Sum256([]byte(name))
	path := filepath.Join(dir, hex.EncodeToString(sum[:12]))
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if errors.Is(err, fs.ErrExist) {
		return nil, takeDead(path)
	}
	if err != nil {
		return nil, err
	}
	c := &claim{path: path, stop: make(chan struct{})}
	mark := fmt.Sprintf("%d %d", os.Getpid(), rand.Uint64())
	if _, err := fmt.Fprintf(f, "%s 0\n", mark); err != nil {
		f.Close()
		os.Remove(path)
		return nil, err
	}
	c.end.Go(func() {
		defer f.Close()
		t := time.NewTicker(alive)
		defer t.Stop()
		for n := 1; ; n++ {
			select {
			case <-c.stop:
				return
			case <-t.C:
				f.WriteAt(fmt.Appendf(nil, "%s %d\n", mark, n), 0)
			}
		}
	})
	return c, nil
}

// takeDead takes a claim away whose holder died: the next look finds it free. The
// claim is renamed first, so that of two who find it dead one takes it.
func takeDead(path string) error {
	mark, err := os.ReadFile(path)
	if err != nil {
		return nil // it was just given up
	}
	stood.Lock()
	defer stood.Unlock()
	s, known := stood.at[path]
	if !known || s.mark != string(mark) {
		stood.at[path] = stand{string(mark), time.Now()}
		return nil
	}
	if time.Since(s.since) < dead {
		return nil
	}
	delete(stood.at, path)
	aside := fmt.Sprintf("%s.%d.dead", path, rand.Uint64())
	if err := os.Rename(path, aside); err != nil {
		return nil
	}
	return os.Remove(aside)
}

// release gives the claim up.
func (c *claim) release() {
	close(c.stop)
	c.end.Wait()
	os.Remove(c.path)
}
