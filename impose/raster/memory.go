package raster

import (
	"github.com/tetratelabs/wazero/experimental"

	"quoin/impose/thrift"
)

// mostLeft is how much memory a renderer keeps from one document to the next. It
// never gets smaller, however little of it is used, and what comes next seldom fits
// into the holes that a large page leaves.
const mostLeft = 64 << 20

// memory knows how much an instance of the renderer has.
type memory struct{ size uint64 }

// counted is an allocator whose memory is counted.
func (m *memory) counted(a experimental.MemoryAllocator) experimental.MemoryAllocator {
	return experimental.MemoryAllocatorFunc(func(capacity, most uint64) experimental.LinearMemory {
		return &counted{a.Allocate(capacity, most), m}
	})
}

type counted struct {
	experimental.LinearMemory
	by *memory
}

func (c *counted) Reallocate(size uint64) []byte {
	c.by.size = size
	return c.LinearMemory.Reallocate(size)
}

// begin is called before a document is opened. Where much memory is left of those
// before, it takes another instance.
func (r *Renderer) begin() (err error) {
	if r.opened == 0 && r.memory.size > mostLeft {
		if err := r.instance.Close(); err != nil {
			return err
		}
		r.instance, r.memory.size = nil, 0
		if r.instance, err = r.pool.GetInstance(0); err != nil {
			return err
		}
		thrift.Release()
	}
	r.opened++
	return nil
}

// end is called when it has been closed.
func (r *Renderer) end() { r.opened-- }
