//go:build !unix

package folder

import (
	"errors"
	"fmt"
	"os"
	"time"
)

// errMoved says that the folder that was locked is no longer under its name.
var errMoved = errors.New("moved")

// lock is a file beside the folder that only one process can create. One that
// is not renewed for a while was left behind by a kill.
type lock struct {
	path string
	stop chan struct{}
}

const (
	renewed = 10 * time.Second
	stale   = time.Minute
)

func lockFolder(path string) (*lock, error) {
	l := &lock{path + ".lock", make(chan struct{})}
	if info, err := os.Stat(l.path); err == nil && time.Since(info.ModTime()) > stale {
		os.Remove(l.path)
	}
	f, err := os.OpenFile(l.path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if errors.Is(err, os.ErrExist) {
		return nil, ErrBusy
	}
	if err != nil {
		return nil, err
	}
	fmt.Fprintln(f, os.Getpid())
	if err := f.Close(); err != nil {
		return nil, err
	}
	go l.renew()
	return l, nil
}

func (l *lock) renew() {
	tick := time.NewTicker(renewed)
	defer tick.Stop()
	for {
		select {
		case <-l.stop:
			return
		case now := <-tick.C:
			os.Chtimes(l.path, now, now)
		}
	}
}

func (l *lock) release() error {
	close(l.stop)
	return os.Remove(l.path)
}
