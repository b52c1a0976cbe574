package queueshop

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"
)

// count returns how often something is to be done: a handful, or as often as the
// variable says.
func count(tb testing.TB, variable string, few int) int {
	tb.Helper()
	text := os.Getenv(variable)
	if text == "" {
		return few
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		tb.Fatal(err)
	}
	return n
}

// TestKilledWorkersLoseNothing kills workers at random moments.
// QUOIN_WORKER_KILLS=100 kills a hundred.
func TestKilledWorkersLoseNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("kills take a while")
	}
	dir := t.TempDir()
	command := queueNight(t, dir, 12)
	want := localNight(t, program, dir, command)
	s := openShop(t, 1, 2)
	rng := rand.New(rand.NewPCG(3, 5))
	kills, wanted := 0, count(t, "QUOIN_WORKER_KILLS", 5)
	for n := 0; kills < wanted; n++ {
		s.night(fmt.Sprint("night", n), dir, command, want, func(ctx context.Context) {
			for ctx.Err() == nil && kills < wanted {
				pauseOr(ctx, time.Duration(rng.IntN(1500))*time.Millisecond)
				if ctx.Err() == nil {
					s.killWorker(rng.IntN(2))
					kills++
				}
			}
		})
		s.clear()
	}
	t.Logf("%d kills of workers", kills)
}

// TestKilledBrokersLoseNothing kills brokers of a cluster of three.
// QUOIN_BROKER_KILLS=20 kills twenty.
func TestKilledBrokersLoseNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("kills take a while")
	}
	dir := t.TempDir()
	command := queueNight(t, dir, 12)
	want := localNight(t, program, dir, command)
	s := openShop(t, 3, 2)
	rng := rand.New(rand.NewPCG(7, 9))
	kills, wanted := 0, count(t, "QUOIN_BROKER_KILLS", 2)
	for n := 0; kills < wanted; n++ {
		s.night(fmt.Sprint("night", n), dir, command, want, func(ctx context.Context) {
			for ctx.Err() == nil && kills < wanted {
				pauseOr(ctx, time.Duration(3000+rng.IntN(4000))*time.Millisecond)
				if ctx.Err() == nil {
					s.killBroker(rng.IntN(3), false)
					kills++
				}
			}
		})
		s.clear()
	}
	t.Logf("%d kills of brokers", kills)
}

// TestWipedStoreCostsNoWork throws the store away in the middle of a night.
// QUOIN_WIPES=5 does so five times.
func TestWipedStoreCostsNoWork(t *testing.T) {
	if testing.Short() {
		t.Skip("kills take a while")
	}
	dir := t.TempDir()
	command := queueNight(t, dir, 12)
	want := localNight(t, program, dir, command)
	s := openShop(t, 1, 2)
	rng := rand.New(rand.NewPCG(1, 2))
	wipes := 0
	for n := 0; wipes < count(t, "QUOIN_WIPES", 1); n++ {
		s.night(fmt.Sprint("night", n), dir, command, want, func(ctx context.Context) {
			pauseOr(ctx, time.Duration(500+rng.IntN(2500))*time.Millisecond)
			if ctx.Err() == nil {
				s.killBroker(0, true)
				wipes++
			}
		})
		s.clear()
	}
	t.Logf("%d stores were thrown away", wipes)
}

func pauseOr(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}
