package serve

import (
	"container/list"
	"sync"
)

// kept keeps values by their names, those that were used last, up to so much in
// all. It is safe for concurrent use.
type kept[V any] struct {
	most   int
	weight func(V) int // of one, at least 1

	mu    sync.Mutex
	at    map[string]*list.Element
	order *list.List // of *keptValue, the last used first
	held  int
}

type keptValue[V any] struct {
	name  string
	value V
}

func newKept[V any](most int, weight func(V) int) *kept[V] {
	return &kept[V]{most: most, weight: weight, at: map[string]*list.Element{}, order: list.New()}
}

func (k *kept[V]) get(name string) (v V, ok bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	e, ok := k.at[name]
	if !ok {
		return v, false
	}
	k.order.MoveToFront(e)
	return e.Value.(*keptValue[V]).value, true
}

// put keeps a value in the place of any of its name.
func (k *kept[V]) put(name string, v V) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.drop(k.at[name])
	k.at[name] = k.order.PushFront(&keptValue[V]{name, v})
	for k.held += k.weight(v); k.held > k.most && k.order.Len() > 1; {
		k.drop(k.order.Back())
	}
}

func (k *kept[V]) drop(e *list.Element) {
	if e == nil {
		return
	}
	old := k.order.Remove(e).(*keptValue[V])
	delete(k.at, old.name)
	k.held -= k.weight(old.value)
}
