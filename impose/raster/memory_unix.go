//go:build linux || darwin

package raster

import (
	"syscall"

	"github.com/tetratelabs/wazero/experimental"
)

// mapped is the renderer's memory outside of Go's: as it grows nothing is copied,
// and the collector doesn't let as much garbage lie beside it.
type mapped struct{ all []byte }

// outside makes such memory.
var outside experimental.MemoryAllocatorFunc = mappedMemory

// mappedMemory reserves addresses for all that the renderer may ask for; only what it
// writes to is taken of the machine. Where the system refuses that, the memory is
// Go's.
func mappedMemory(capacity, most uint64) experimental.LinearMemory {
	all, err := syscall.Mmap(-1, 0, int(most), syscall.PROT_READ|syscall.PROT_WRITE, syscall.MAP_ANON|syscall.MAP_PRIVATE|syscall.MAP_NORESERVE)
	if err != nil {
		return &inGo{make([]byte, 0, capacity)}
	}
	return &mapped{all}
}

func (m *mapped) Reallocate(size uint64) []byte {
	if size > uint64(len(m.all)) {
		return nil
	}
	return m.all[:size:size]
}

func (m *mapped) Free() {
	if m.all != nil {
		syscall.Munmap(m.all)
		m.all = nil
	}
}

// inGo is memory of Go's.
type inGo struct{ bytes []byte }

func (m *inGo) Reallocate(size uint64) []byte {
	if more := int(size) - len(m.bytes); more > 0 {
		m.bytes = append(m.bytes, make([]byte, more)...)
	}
	return m.bytes[:size]
}

func (m *inGo) Free() { m.bytes = nil }
