package main

import (
	"crypto/sha256"
	"hash"
	"sync"
)

// backgroundSum works out the SHA-256 of what is written to it beside the
// writing, on another core: hashing a file takes about as long as copying it.
type backgroundSum struct {
	sum  hash.Hash
	todo chan []byte // filled, in order
	free chan []byte // to be filled
	done chan struct{}
	once sync.Once
}

const (
	sumChunk  = 1 << 17
	sumChunks = 4
)

func newBackgroundSum() *backgroundSum {
	b := &backgroundSum{
		sum: sha256.New(), done: make(chan struct{}),
		todo: make(chan []byte, sumChunks), free: make(chan []byte, sumChunks),
	}
	for range sumChunks {
		b.free <- make([]byte, sumChunk)
	}
	go func() {
		defer close(b.done)
		for chunk := range b.todo {
			b.sum.Write(chunk)
			b.free <- chunk[:sumChunk]
		}
	}()
	return b
}

// Write takes a copy; it never fails.
func (b *backgroundSum) Write(p []byte) (int, error) {
	n := len(p)
	for len(p) > 0 {
		chunk := <-b.free
		filled := copy(chunk, p)
		b.todo <- chunk[:filled]
		p = p[filled:]
	}
	return n, nil
}

// end waits for the sum; nothing may be written behind it. It may be called
// again.
func (b *backgroundSum) end() []byte {
	b.once.Do(func() { close(b.todo) })
	<-b.done
	return b.sum.Sum(nil)
}
