//go:build unix

package main

import "syscall"

// mayOpen gives how many files the process may have open at a time.
func mayOpen() uint64 {
	var limit syscall.Rlimit
	if syscall.Getrlimit(syscall.RLIMIT_NOFILE, &limit) != nil {
		return leastOpen
	}
	return uint64(limit.Cur)
}
