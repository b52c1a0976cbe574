package gang

import (
	"math"
	"math/bits"
	"math/rand/v2"
)

// squeezer looks for a plan of t runs with a given sum of lengths by simulated
// annealing of what orders lack.
//
// The runs always have that sum, and lanes may be given to any order, so that most
// states meet not every order; what is missing in all is to fall to 0. A move costs
// a fifth of a microsecond, as it changes what two orders get, and all moves are
// for an order that lacks something: it gets another lane, changes places with a
// lane of a longer run, or its run grows while another shrinks. This finds its way
// where no two or three runs alone can be improved, as walk does.
//
// Annealing that solves an LP of the lengths for every choice of lanes, as
// J. Teghem, M. Pirlot, C. Antoniadis (Journal of Computational and Applied
// Mathematics 64, 1995) do, sees twenty times fewer states and ended 1 % higher
// on their instance of 30 covers.
type squeezer struct {
	c     *core
	rng   *rand.Rand
	r     []int64 // lengths of the runs
	left  []int64 // capacity left in each run
	per   int     // lanes of a run, some of them empty
	lane  []int   // the order of each lane, or nobody
	where [][]int // the lanes of each order
	at    []int   // the place of a lane in where
	made  []int64 // of each order
	lacks []int   // the orders that lack something
	place []int   // of an order in lacks; -1 for others
	short int64   // what they lack in all
	mean  float64 // length of a run
	work  int64   // lanes looked at
}

// nobody is the order of a lane that no order has.
const nobody = -1

// newSqueezer returns the state of t runs with a sum of lengths, taken from runs
// as far as they serve.
func newSqueezer(c *core, t int, sum int64, runs []run, rng *rand.Rand) *squeezer {
	n, per := len(c.need), int(c.mostLanes())
	s := &squeezer{
		c: c, rng: rng, r: make([]int64, t), left: make([]int64, t), per: per, lane: make([]int, t*per),
		where: make([][]int, n), at: make([]int, t*per), made: make([]int64, n), place: make([]int, n),
	}
	for i := range s.place {
		s.place[i] = i
		s.lacks = append(s.lacks, i)
		s.short += c.need[i].d
	}
	for k := range s.lane {
		s.lane[k] = nobody
	}
	for k := range t {
		s.r[k], s.left[k] = c.least, c.cap
		if k >= len(runs) {
			continue
		}
		s.r[k] = runs[k].r
		at := k * per
		for _, p := range runs[k].parts {
			for range p.lanes {
				s.give(at, p.at)
				at++
			}
		}
	}
	s.fit(sum)
	s.mean = float64(sum) / float64(t)
	return s
}

// fit brings the sum of lengths to sum, which is least for each run or more.
func (s *squeezer) fit(sum int64) {
	for _, r := range s.r {
		sum -= r
	}
	for sum != 0 {
		k := s.rng.IntN(len(s.r))
		v := max(sum, s.c.least-s.r[k])
		if sum > 0 {
			v = ceilDiv(sum, int64(len(s.r)))
		}
		s.grow(k, v)
		sum -= v
	}
}

// yield sets what is made of an order.
func (s *squeezer) yield(i int, v int64) {
	s.short += s.lack(i, v) - s.lack(i, s.made[i])
	s.made[i] = v
	switch lacks := v < s.c.need[i].d; {
	case lacks && s.place[i] < 0:
		s.place[i] = len(s.lacks)
		s.lacks = append(s.lacks, i)
	case !lacks && s.place[i] >= 0:
		last := s.lacks[len(s.lacks)-1]
		s.lacks[s.place[i]], s.place[last] = last, s.place[i]
		s.lacks = s.lacks[:len(s.lacks)-1]
		s.place[i] = -1
	}
}

// lack is what an order lacks of which v is made.
func (s *squeezer) lack(i int, v int64) int64 { return max(0, s.c.need[i].d-v) }

// give gives a lane to another order, or to none, whatever that does to the room.
func (s *squeezer) give(lane, to int) {
	k := lane / s.per
	if p := s.lane[lane]; p != nobody {
		own := s.where[p]
		last := own[len(own)-1]
		own[s.at[lane]], s.at[last] = last, s.at[lane]
		s.where[p] = own[:len(own)-1]
		s.left[k] += s.c.need[p].w
		s.yield(p, s.made[p]-s.r[k])
	}
	if s.lane[lane] = to; to != nobody {
		s.at[lane] = len(s.where[to])
		s.where[to] = append(s.where[to], lane)
		s.left[k] -= s.c.need[to].w
		s.yield(to, s.made[to]+s.r[k])
	}
}

// grow makes a run longer by v, or shorter.
func (s *squeezer) grow(k int, v int64) {
	s.r[k] += v
	for _, i := range s.lane[k*s.per : k*s.per+s.per] {
		if i != nobody {
			s.yield(i, s.made[i]+v)
		}
	}
	s.work += int64(s.per)
}

// gain is by how much what order i lacks grows when v more is made of it.
func (s *squeezer) gain(i int, v int64) int64 {
	if i == nobody {
		return 0
	}
	return s.lack(i, s.made[i]+v) - s.lack(i, s.made[i])
}

// width is the width of a lane of order i.
func (s *squeezer) width(i int) int64 {
	if i == nobody {
		return 0
	}
	return s.c.need[i].w
}

// Temperatures are parts of the mean length of a run: at the first most moves
// are taken, below the last hardly any that do harm.
const (
	hottest = 0.03
	coldest = 0.017
)

// coolEvery is the number of moves at one temperature.
const coolEvery = 256

// cool makes some moves at a temperature that falls as part goes from 0 to 1. It
// reports whether nothing is lacking.
func (s *squeezer) cool(part float64) bool {
	heat := s.mean * hottest * math.Pow(coldest/hottest, part)
	for range coolEvery {
		if len(s.lacks) == 0 {
			return true
		}
		s.move(int64(heat * s.rng.ExpFloat64()))
	}
	return len(s.lacks) == 0
}

// workPerMove is how much a squeezer does in a step.
const workPerMove = 30

// move tries one move for an order that lacks something, or now and then for any,
// and takes it if no more than limit is lacking after it than before.
func (s *squeezer) move(limit int64) {
	s.work += 8
	random := s.rng.Uint64()
	pick := func(n int) int { // four times
		v := int(random & 0xffff * uint64(n) >> 16)
		random >>= 16
		return v
	}
	kind := pick(4)
	q := s.lacks[pick(len(s.lacks))]
	if pick(64) == 0 {
		q = s.rng.IntN(len(s.made))
	}
	lane := pick(len(s.lane))
	switch own := s.where[q]; {
	case kind == 0 || len(own) == 0:
		s.replace(lane, q, limit)
	case kind == 3:
		s.stretch(own[s.rng.IntN(len(own))]/s.per, lane/s.per, limit)
	default:
		s.swap(own[s.rng.IntN(len(own))], lane, limit)
	}
}

// replace gives a lane to order q, or to none where q has it.
func (s *squeezer) replace(lane, q int, limit int64) {
	k, p := lane/s.per, s.lane[lane]
	if p == q {
		q = nobody
	}
	r := s.r[k]
	if s.left[k]+s.width(p) < s.width(q) || s.gain(p, -r)+s.gain(q, r) > limit {
		return
	}
	s.give(lane, q)
}

// swap lets two lanes change their orders.
func (s *squeezer) swap(x, y int, limit int64) {
	k, u, p, q := x/s.per, y/s.per, s.lane[x], s.lane[y]
	if k == u || p == q {
		return
	}
	more, r := s.width(q)-s.width(p), s.r[u]-s.r[k]
	if s.left[k] < more || s.left[u] < -more || s.gain(p, r)+s.gain(q, -r) > limit {
		return
	}
	s.give(x, q)
	s.give(y, p)
}

// stretch makes run k longer by what it takes from run u.
func (s *squeezer) stretch(k, u int, limit int64) {
	most := s.r[u] - s.c.least
	if k == u || most < 1 {
		return
	}
	v := 1 + s.rng.Int64N(most)>>s.rng.IntN(bits.Len64(uint64(most)))
	before := s.short
	s.grow(u, -v)
	s.grow(k, v)
	if s.short-before > limit {
		s.grow(k, -v)
		s.grow(u, v)
	}
}

// lanes returns those of the orders in each run.
func (s *squeezer) lanes() [][]int64 {
	lane := make([][]int64, len(s.made))
	for i := range lane {
		lane[i] = make([]int64, len(s.r))
		for _, x := range s.where[i] {
			lane[i][x/s.per]++
		}
	}
	return lane
}
