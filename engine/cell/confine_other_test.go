//go:build !linux

package cell

// tryAll has nothing to try here.
func tryAll() {}
