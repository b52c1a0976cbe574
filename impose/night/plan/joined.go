package plan

// joined says which of some things belong together, directly or by way of others. What
// was never joined stands alone.
type joined[K comparable] map[K]K

// root returns the one that stands for all that belong with k.
func (j joined[K]) root(k K) K {
	up, known := j[k]
	if !known || up == k {
		return k
	}
	j[k] = j.root(up)
	return j[k]
}

// join puts what belongs with a to what belongs with b, whose root stays.
func (j joined[K]) join(a, b K) { j[j.root(a)] = j.root(b) }
