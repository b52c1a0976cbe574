package gang

// auction relaxes the choice of lanes for given lengths.
//
// Once the lengths are fixed, every order picks lanes p with p.R >= demand, and
// the runs tie the orders together by T capacities only. Those are priced into
// the goal (Lagrangian relaxation; Geoffrion 1974, from memory): at any prices
// of a lane, each order takes its cheapest lanes, and if that costs more than
// all capacity is worth, no plan has these lengths. The sums are whole numbers,
// so the proof is exact. With many orders and few runs the relaxation is nearly
// as good as the knapsack table and a hundred times as quick: at the best prices
// at most T orders are torn between two choices.
//
// The first prices are the lengths themselves. They ask no more than whether
// the orders fit by volume with the overs that whole lanes force on them, which
// most lengths fail: the smallest orders, which have the fewest choices, show it
// soonest.
type auction struct {
	c     *core
	t     int
	r     []int64
	limit int64   // overs that the volume still leaves
	low   int64   // least overs of the order at hand
	all   []offer // choices of all orders, the smallest order first
	first []int   // where the choices of an order begin
	price []int64 // of a lane in each run
	best  []int64 // prices that left the least to spare
	part  []float64
	over  []int64 // capacity that the cheapest choices take beyond what there is
	pick  []int   // cheapest choice of each order
	least []int64 // its price
	work  int64   // choices looked at
	rest  []int64 // by order and run, the least capacity of its choices
	tries int     // left to mend
}

// lanes holds those of an order in all runs, each in laneBits of the word, the
// first run lowest: choices are made and dropped by the thousand.
type lanes uint64

const laneBits = 64 / mostBoxed

// in returns the lanes in run k.
func (l lanes) in(k int) int64 { return int64(l >> (k * laneBits) & (1<<laneBits - 1)) }

// offer is a choice of lanes and what it takes: at first the volume beyond the
// demand, later the price.
type offer struct {
	loss  int64
	lanes lanes
}

// priceScale is the price of a lane in the longest run to begin with.
const priceScale = 1 << 20

func newAuction(c *core, t int) *auction {
	n := len(c.need)
	q := &auction{
		c: c, t: t, first: make([]int, n+1), price: make([]int64, t), best: make([]int64, t),
		part: make([]float64, t), over: make([]int64, t), pick: make([]int, n), least: make([]int64, n),
	}
	for k := range q.part {
		q.part[k] = 1
	}
	return q
}

// verdict is what is known of given lengths.
type verdict int

const (
	maybe verdict = iota
	no            // proved: no lanes meet the orders
	yes           // the picked lanes do
)

// settle looks for prices at which the orders ask more than all capacity is
// worth, or for lanes that simply fit, in a few rounds of the subgradient method
// (Held, Wolfe, Crowder 1974; step by Polyak 1969, both from memory) that start
// from the prices which settled the lengths before.
func (q *auction) settle(rounds int) verdict {
	scale := priceScale / float64(q.r[0])
	best := int64(none)
	for range rounds {
		room := int64(0)
		for x, r := range q.r {
			q.price[x] = max(1, int64(q.part[x]*float64(r)*scale))
			q.over[x] = -q.c.cap
			room += q.price[x] * q.c.cap
		}
		slack := room - q.ask()
		if slack < 0 {
			return no
		}
		fits, norm := true, 0.0
		for x, v := range q.over {
			fits = fits && v <= 0
			g := float64(v) * float64(q.r[x]) * scale
			norm += g * g
		}
		if fits {
			return yes
		}
		if slack < best {
			best = slack
			copy(q.best, q.price)
			q.fix(slack)
		}
		step := 1.3 * (float64(slack) + priceScale/100) / norm
		for x, v := range q.over {
			q.part[x] = min(3, max(0.3, q.part[x]+step*float64(v)*float64(q.r[x])*scale))
		}
	}
	return maybe
}

// ask prices all choices and returns what the cheapest of each order cost
// together.
func (q *auction) ask() int64 {
	sum := int64(0)
	q.work += int64(len(q.all))
	for j := range q.pick {
		w := q.need(j).w
		least, at := int64(none), 0
		for k := q.first[j]; k < q.first[j+1]; k++ {
			o := &q.all[k]
			v := int64(0)
			l := o.lanes
			for _, p := range q.price {
				v += int64(l&(1<<laneBits-1)) * p
				l >>= laneBits
			}
			v *= w
			o.loss = v
			if v < least {
				least, at = v, k
			}
		}
		q.least[j], q.pick[j] = least, at
		sum += least
		for x := range q.over {
			q.over[x] += w * q.all[at].lanes.in(x)
		}
	}
	return sum
}

// picked returns the lanes of the cheapest choices by order.
func (q *auction) picked() [][]int64 {
	n := len(q.pick)
	lane := make([][]int64, n)
	for j, k := range q.pick {
		for x := range q.t {
			lane[n-1-j] = append(lane[n-1-j], q.all[k].lanes.in(x))
		}
	}
	return lane
}
