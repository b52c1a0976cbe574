//go:build unix

package main

import (
	"os"
	"syscall"
)

// umask gives the permissions that new files must not have.
func umask() os.FileMode {
	m := syscall.Umask(0)
	syscall.Umask(m)
	return os.FileMode(m)
}
