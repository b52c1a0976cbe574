package serve

import (
	"encoding/json"
	"sync"

	"quoin/impose/night/plan"
)

// plans are the nights that were planned lately, by what they were planned from.
type plans struct {
	mu   sync.Mutex
	all  map[string]*plan.Plan
	keys []string // oldest first
}

// keptPlans bounds them: a plan of a thousand orders holds some megabytes.
const keptPlans = 8

func newPlans() *plans { return &plans{all: map[string]*plan.Plan{}} }

func planKey(list string, n settings) string {
	data, _ := json.Marshal(n) // plain values only
	return list + "\n" + string(data)
}

func (p *plans) get(list string, n settings) *plan.Plan {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.all[planKey(list, n)]
}

func (p *plans) put(list string, n settings, made *plan.Plan) {
	p.mu.Lock()
	defer p.mu.Unlock()
	key := planKey(list, n)
	if p.all[key] == nil {
		p.keys = append(p.keys, key)
	}
	p.all[key] = made
	for len(p.keys) > keptPlans {
		delete(p.all, p.keys[0])
		p.keys = p.keys[1:]
	}
}
