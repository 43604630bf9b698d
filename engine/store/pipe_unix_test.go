//go:build unix

package store

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// A pipe or a device in the place of a file is absent, and keeps nobody waiting.
func TestPipeIsAbsent(t *testing.T) {
	key := Key([]byte("a"))
	for name, put := range map[string]func(file string) error{
		"pipe":   func(file string) error { return syscall.Mkfifo(file, 0o600) },
		"device": func(file string) error { return os.Symlink("/dev/zero", file) },
		"huge":   func(file string) error { return hugeFile(file, mostBytes+1) },
	} {
		dir := t.TempDir()
		s := Open(dir)
		if err := put(filepath.Join(dir, key)); err != nil {
			t.Fatal(name, err)
		}
		if _, ok := s.Get(key); ok {
			t.Errorf("a %s gives data", name)
		}
		if err := s.Put(key, []byte("x")); err != nil {
			t.Errorf("a %s keeps data from being put: %v", name, err)
		}
		if data, ok := s.Get(key); !ok || string(data) != "x" {
			t.Errorf("behind a %s, got %q, %v", name, data, ok)
		}
	}
}

func hugeFile(name string, size int64) error {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	defer f.Close()
	return f.Truncate(size)
}
