package main

import (
	"context"
	"sync/atomic"
	"time"
)

// watchTime looks, while a night is being built, whether it will be ready by the
// time that was given, and says so as soon as it won't.
func (f *gangFlags) watchTime(ctx context.Context, io streams, h *handed, p *progress) (stop func(), err error) {
	if f.readyBy == "" {
		return func() {}, nil
	}
	by, err := parseReadyBy(f.readyBy, time.Now())
	if err != nil {
		return nil, err
	}
	var all atomic.Int64
	told := p.tell
	f.progressed = func(stage string, done, of int) {
		if stage == "runs written" {
			all.Store(int64(of))
		}
		told(stage, done, of)
	}
	ctx, stop = context.WithCancel(ctx)
	go h.Early(ctx, by, func() int { return int(all.Load()) }, func(text string) { io.warn("%s", text) })
	return stop, nil
}

// parseReadyBy reads a time of the day, today's or tomorrow's, or a day with its
// time.
func parseReadyBy(text string, now time.Time) (time.Time, error) {
	if t, err := time.ParseInLocation("2006-01-02T15:04", text, now.Location()); err == nil {
		return t, nil
	}
	t, err := time.ParseInLocation("15:04", text, now.Location())
	if err != nil {
		return t, usagef("--ready-by %s is no time", "write hours and minutes, as in 06:00, or with the day, as in 2026-03-01T06:00", text)
	}
	t = time.Date(now.Year(), now.Month(), now.Day(), t.Hour(), t.Minute(), 0, 0, now.Location())
	if t.Before(now) {
		t = t.AddDate(0, 0, 1)
	}
	return t, nil
}
