package queueshop

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"quoin/geometry/trials"
)

// TestTroubleLosesNothing makes trouble at random moments while nights are handed
// over, night after night until there was as much of it as was asked for, and wants
// the bytes of the local night of each. QUOIN_WORKER_KILLS=100 kills a hundred
// workers, QUOIN_BROKER_KILLS=20 twenty brokers of a cluster of three, and
// QUOIN_WIPES=5 throws the store of one broker away five times.
func TestTroubleLosesNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("kills take a while")
	}
	t.Parallel()
	for _, c := range []struct {
		name      string
		brokers   int
		variable  string
		few, many int
		from, to  time.Duration // between two kills
		kill      func(*shop, *rand.Rand)
	}{
		{"workers", 1, "QUOIN_WORKER_KILLS", 2, 8, 0, 1500 * time.Millisecond, func(s *shop, r *rand.Rand) { s.killWorker(r.IntN(2)) }},
		{"brokers", 3, "QUOIN_BROKER_KILLS", 1, 4, 1500 * time.Millisecond, 6 * time.Second, func(s *shop, r *rand.Rand) { s.killBroker(r.IntN(3), false) }},
		{"stores", 1, "QUOIN_WIPES", 1, 2, 500 * time.Millisecond, 3 * time.Second, func(s *shop, _ *rand.Rand) { s.killBroker(0, true) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			n := theNight(t)
			s := openShop(t, c.brokers, 2)
			rng := rand.New(rand.NewPCG(3, uint64(c.brokers)))
			done, wanted, nights := 0, trials.Number(t, c.variable, c.few, c.many), 0
			for ; done < wanted && !t.Failed(); nights++ {
				s.night(fmt.Sprint(c.name, nights), n, func(ctx context.Context) {
					// The first of a night comes before it is over.
					for wait := time.Duration(rng.Int64N(int64(c.to / 4))); ctx.Err() == nil && done < wanted; wait = c.from + time.Duration(rng.Int64N(int64(c.to-c.from))) {
						pauseOr(ctx, wait)
						if ctx.Err() == nil {
							c.kill(s, rng)
							done++
						}
					}
				})
				s.clear()
			}
			t.Logf("%d kills of %s in %d nights", done, c.name, nights)
		})
	}
}

func pauseOr(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}
