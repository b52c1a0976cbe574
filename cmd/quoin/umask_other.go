//go:build !unix

package main

import "os"

// umask gives the permissions that new files must not have.
func umask() os.FileMode { return 0 }
