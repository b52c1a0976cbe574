package plan

import (
	"fmt"
	"time"

	"quoin/impose/job"
)

// hours turns a press's working time, in seconds from the beginning of the first
// night, into times of day. Each night has the same shifts.
type hours struct {
	day    time.Time // of the first night; zero: not known
	shifts []job.Shift
	night  int64 // working seconds of one
}

func newHours(day time.Time, press *job.Press) *hours {
	h := &hours{day: day}
	if press != nil {
		h.shifts = press.Shifts
	}
	if len(h.shifts) == 0 {
		h.shifts = []job.Shift{{}} // midnight to midnight
	}
	for _, s := range h.shifts {
		h.night += int64(s.Minutes()) * 60
	}
	return h
}

// due returns the working time by which what is due on a day must have ended: that
// of the shifts that begin on that day or before.
func (h *hours) due(day time.Time) int64 {
	nights := int64(day.Sub(h.day).Hours()/24) + 1
	return max(nights, 0) * h.night
}

// worked returns the working time until a time of day, 0 before the first night.
func (h *hours) worked(until time.Time) (sum int64) {
	if h.day.IsZero() || until.IsZero() {
		return 0
	}
	for night := 0; ; night++ {
		for _, s := range h.shifts {
			from := h.day.AddDate(0, 0, night).Add(time.Duration(s.From) * time.Minute)
			if !from.Before(until) {
				return sum
			}
			sum += min(int64(s.Minutes())*60, int64(until.Sub(from).Seconds()))
		}
	}
}

// at says when it is after so much working time. What ends with a shift ends then,
// and what starts then starts with the next.
func (h *hours) at(worked int64, ends bool) string {
	night, left := worked/h.night, worked%h.night
	if ends && left == 0 && night > 0 {
		night, left = night-1, h.night
	}
	second := int64(0)
	for _, s := range h.shifts {
		second = int64(s.From)*60 + left
		length := int64(s.Minutes()) * 60
		if left < length || ends && left == length {
			break
		}
		left -= length
	}
	if h.day.IsZero() {
		const day = 24 * 60 * 60
		return fmt.Sprintf("night %d %02d:%02d", night+1+second/day, second%day/3600, second%3600/60)
	}
	return h.day.AddDate(0, 0, int(night)).Add(time.Duration(second) * time.Second).Format("2006-01-02T15:04")
}
