//go:build !linux

package thrift

// ReleaseProgram does nothing: the system takes back by itself what nobody uses.
func ReleaseProgram() {}
