package vary

import (
	"context"
	"runtime"

	"quoin/impose/data"
	"quoin/impose/draw"
	"quoin/impose/press"
)

// frameJob is a frame on its way.
type frameJob struct {
	frame   int64
	numbers []int64    // record by station, from 1; 0 for none
	spare   []bool     // by station
	values  [][]string // by station
	content *press.Content
	places  []draw.Item // pages that the records name
	err     error
	done    chan struct{}
}

// rendered gives the frames in order. Cancelling ends it early.
func (r *Run) rendered(ctx context.Context, series *press.Series, first, end int64) func(yield func(*frameJob) bool) {
	return func(yield func(*frameJob) bool) {
		workers := runtime.GOMAXPROCS(0)
		todo, order := make(chan *frameJob), make(chan *frameJob, 2*workers)
		go func() {
			defer close(todo)
			defer close(order)
			feed := r.feed()
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
			go r.work(series, todo)
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

// work sets and compresses frames.
func (r *Run) work(series *press.Series, todo <-chan *frameJob) {
	s, err := newSetters(r)
	renderer := series.Renderer()
	for job := range todo {
		job.err = err
		if err == nil {
			job.err = s.frame(job.numbers, job.values, r.stations)
		}
		if job.err == nil {
			job.places = s.places
			job.content, job.err = renderer.Render(s.pen.Texts)
		}
		close(job.done)
	}
}

// feeder gives frames their records.
type feeder struct {
	run     *Run
	lookups []*data.Lookup // by lane, or one for all
}

func (r *Run) feed() *feeder {
	f := &feeder{run: r}
	for range r.Order.Lanes {
		f.lookups = append(f.lookups, r.plan.Records.Lookup())
		if r.plan.Across {
			break
		}
	}
	return f
}

// job gives a frame the records of its stations.
func (f *feeder) job(frame int64) *frameJob {
	r := f.run
	n := len(r.stations)
	job := &frameJob{frame: frame, numbers: make([]int64, n), spare: make([]bool, n), values: make([][]string, n)}
	for i := range r.stations {
		s := &r.stations[i]
		at, ok := r.Order.At(frame, s.lane, s.Row-1)
		if !ok {
			job.spare[i] = true
			if r.plan.Spare != Repeat {
				continue
			}
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
