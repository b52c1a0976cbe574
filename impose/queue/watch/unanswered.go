package watch

import "sync"

// unanswered is why files have no answer yet that were due since the last look.
type unanswered struct {
	mu        sync.Mutex
	err       error // of one that could not be done, for no fault of its own
	elsewhere bool  // another watcher has claimed one
}

// clear is for a new look.
func (u *unanswered) clear() {
	u.mu.Lock()
	defer u.mu.Unlock()
	u.err, u.elsewhere = nil, false
}

// failed notes a file that could not be done.
func (u *unanswered) failed(err error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	u.err = err
}

// claimed notes a file that another watcher has.
func (u *unanswered) claimed() {
	u.mu.Lock()
	defer u.mu.Unlock()
	u.elsewhere = true
}

// why returns what was noted.
func (u *unanswered) why() (elsewhere bool, err error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	return u.elsewhere, u.err
}
