//go:build !linux && !darwin

package raster

import "github.com/tetratelabs/wazero/experimental"

// outside is nil where the renderer's memory is Go's.
var outside experimental.MemoryAllocatorFunc
