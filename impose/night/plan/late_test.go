package plan

import (
	"testing"
	"time"

	"quoin/impose/job"
	"quoin/impose/night/intake"
	"quoin/impose/night/nighttest"
)

// TestOtherPressIsOfferedOnlyInTime: eight hours of a press are left for what is due
// tonight, however many nights are planned, less what it is busy with at first.
func TestOtherPressIsOfferedOnlyInTime(t *testing.T) {
	_, narrow := nighttest.Presses(t)
	day := time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)
	other := &table{press: narrow, hours: newHours(day, narrow)}
	dueOn := func(day time.Time) *Run {
		return &Run{Orders: []Share{{order: &intake.Order{Order: &job.Order{Due: day}}}}}
	}
	if got := other.room(dueOn(day)); got != 480 {
		t.Errorf("%g minutes are left tonight, want 480", got)
	}
	if got := other.room(dueOn(day.AddDate(0, 0, 1))); got != 960 {
		t.Errorf("%g minutes are left until tomorrow, want 960", got)
	}
	other.free = 60 * 60
	if got := other.room(dueOn(day)); got != 420 {
		t.Errorf("%g minutes are left behind an hour, want 420", got)
	}
	if got := other.room(dueOn(day.AddDate(0, 0, -1))); got != 0 {
		t.Errorf("%g minutes are left for yesterday", got)
	}
}
