//go:build !linux

package child

// tryAll has nothing to try here.
func tryAll() {}
