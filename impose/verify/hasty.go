package verify

import (
	"errors"
	"os"
	"sync"
)

// hasty takes each artwork to be the file that was placed, wherever one first lies,
// and works out beside everything else whether it is. That is so of nearly all;
// where it isn't, what was found out with it counts for nothing.
type hasty struct {
	opt   *Options
	early []judged // that may be asked for
	found []judged
	lock  sync.Mutex // held by whoever hashes: one after the other
}

// judged is a file whose sum is worked out.
type judged struct {
	place, want string
	file        os.FileInfo // as it was when that was begun
	right       func() bool // whether the sum is the one that is wanted
}

func newHasty(opt *Options) *hasty { return &hasty{opt: opt} }

// Early returns opt for who soon verifies a file against the plan, for which the
// artworks are hashed from now on.
func Early(plan *Expected, opt Options) Options {
	h := newHasty(&opt)
	for _, a := range plan.Artworks {
		if one, err := h.begin(a.Path, plan.sum("artwork", a.Path)); err == nil {
			h.early = append(h.early, one)
		}
	}
	opt.early = h.early
	return opt
}

var errNowhere = errors.New("it lies nowhere")

// begin hashes the file that lies where an artwork is first looked for, unless that was
// begun before and it is still the same.
func (h *hasty) begin(path, want string) (judged, error) {
	for _, place := range h.opt.places(path) {
		info, err := os.Stat(place)
		if err != nil || !info.Mode().IsRegular() {
			continue
		}
		for _, one := range h.early {
			if one.place == place && one.want == want && os.SameFile(one.file, info) && one.file.Size() == info.Size() && one.file.ModTime().Equal(info.ModTime()) {
				return one, nil
			}
		}
		right := sync.OnceValue(func() bool {
			h.lock.Lock()
			defer h.lock.Unlock()
			sum, err := sha256Of(place)
			return err == nil && sum == want
		})
		go right()
		return judged{place, want, info, right}, nil
	}
	return judged{}, errNowhere
}

// find is Options.find that doesn't wait for a sum.
func (h *hasty) find(path, want string) (at, sum string, err error) {
	one, err := h.begin(path, want)
	if err != nil {
		return path, "", err
	}
	h.found = append(h.found, one)
	return one.place, want, nil
}

// wasRight waits until it is known whether all were what they were taken for.
func (h *hasty) wasRight() bool {
	right := true
	for _, one := range h.found {
		right = right && one.right()
	}
	return right
}
