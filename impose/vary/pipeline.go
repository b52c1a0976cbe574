package vary

import (
	"context"
	"runtime"
	"slices"

	"quoin/impose/data"
	"quoin/impose/draw"
	"quoin/impose/press"
)

// frameJob is a frame on its way.
type frameJob struct {
	frame   int64
	numbers []int64    // record by station, from 1; 0 for none
	is      []what     // by station
	values  [][]string // by station
	content *press.Content
	places  []draw.Item // pages that the records name
	err     error
	done    chan struct{}
}

// renderedFrames returns the frames in order. Cancelling ends it early.
func renderedFrames(ctx context.Context, r *Run, series *press.Series, first, end int64) func(yield func(*frameJob) bool) {
	return func(yield func(*frameJob) bool) {
		workers := runtime.GOMAXPROCS(0)
		todo, order := make(chan *frameJob), make(chan *frameJob, 2*workers)
		go func() {
			defer close(todo)
			defer close(order)
			feed := newFeeder(r)
			for frame := first; frame < end; frame++ {
				job := feed.job(frame)
				job.done = make(chan struct{})
				if job.err != nil {
					close(job.done)
					select {
					case order <- job:
					case <-ctx.Done():
					}
					return
				}
				select {
				case order <- job:
				case <-ctx.Done():
					return
				}
				select {
				case todo <- job:
				case <-ctx.Done():
					return
				}
			}
		}()
		for range workers {
			go renderFrames(r, series, todo)
		}
		for job := range order {
			select {
			case <-job.done:
			case <-ctx.Done():
				return
			}
			if !yield(job) {
				return
			}
		}
	}
}

// renderFrames sets and compresses frames.
func renderFrames(r *Run, series *press.Series, todo <-chan *frameJob) {
	s, err := newSetters(r)
	var c *setters // of change-over labels
	if err == nil && r.change != nil {
		c, err = newSettersOf(r, r.change.fields)
	}
	renderer := series.Renderer()
	for job := range todo {
		job.err = err
		if err == nil {
			job.err = s.frame(job.numbers, job.values, r.stations)
		}
		texts, places := s.texts()
		if job.err == nil && c != nil && slices.Contains(job.is, changing) {
			job.err = c.frameChanges(r, job)
			texts, places = append(texts, c.pen.Texts...), append(places, c.places...)
		}
		if job.err == nil {
			job.places = places
			job.content, job.err = renderer.Render(texts)
		}
		close(job.done)
	}
}

// feeder gives frames their records.
type feeder struct {
	run     *Run
	lookups []*data.Lookup // by lane, or one for all
}

func newFeeder(r *Run) *feeder {
	f := &feeder{run: r}
	for range r.Order.Lanes {
		f.lookups = append(f.lookups, r.plan.Records.Lookup())
		if r.plan.Across {
			break
		}
	}
	return f
}

// job returns a frame the records of its stations.
func (f *feeder) job(frame int64) *frameJob {
	r := f.run
	n := len(r.stations)
	job := &frameJob{frame: frame, numbers: make([]int64, n), is: make([]what, n), values: make([][]string, n)}
	for i := range r.stations {
		s := &r.stations[i]
		at, is := r.Order.at(frame, s.lane, s.Row-1)
		if job.is[i] = is; is != printed {
			if is == changing || r.plan.Spare != Repeat {
				continue
			}
			var ok bool
			if at, ok = r.Order.Last(s.lane); !ok {
				at = r.Order.Records - 1 // the lane has none of its own
			}
		}
		job.numbers[i] = r.record(at)
		values, err := f.lookups[s.lane%len(f.lookups)].Get(job.numbers[i])
		if err != nil {
			job.err = err
			return job
		}
		job.values[i] = values
	}
	return job
}
