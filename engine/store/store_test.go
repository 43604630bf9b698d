package store

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"
)

func TestStore(t *testing.T) {
	s := Open(filepath.Join(t.TempDir(), "deep", "folder"))
	key := Key([]byte("a"), []byte("b"))
	if _, ok := s.Get(key); ok {
		t.Fatal("an empty store gives data")
	}
	if err := s.Put(key, []byte("result")); err != nil {
		t.Fatal(err)
	}
	if data, ok := Open(s.dir).Get(key); !ok || string(data) != "result" {
		t.Fatalf("got %q, %v", data, ok)
	}
	if err := s.Put(key, nil); err != nil {
		t.Fatal(err)
	}
	if data, ok := s.Get(key); !ok || len(data) != 0 {
		t.Fatalf("empty data: got %q, %v", data, ok)
	}
}

func TestKeyTellsIngredientsApart(t *testing.T) {
	keys := map[string]string{}
	for name, in := range map[string][][]byte{
		"none":      nil,
		"one empty": {nil},
		"ab":        {[]byte("ab")},
		"a b":       {[]byte("a"), []byte("b")},
		"b a":       {[]byte("b"), []byte("a")},
		"ab empty":  {[]byte("ab"), nil},
	} {
		k := Key(in...)
		if other, ok := keys[k]; ok {
			t.Errorf("%s and %s have the same key", name, other)
		}
		keys[k] = name
	}
}

func TestDamagedDataIsAbsent(t *testing.T) {
	s := Open(t.TempDir())
	key := Key([]byte("x"))
	for name, damage := range map[string]func([]byte) []byte{
		"cut":     func(b []byte) []byte { return b[:len(b)-1] },
		"one bit": func(b []byte) []byte { b[len(b)-1] ^= 1; return b },
		"empty":   func([]byte) []byte { return nil },
	} {
		if err := s.Put(key, []byte("result")); err != nil {
			t.Fatal(err)
		}
		content, err := os.ReadFile(s.file(key))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(s.file(key), damage(content), 0o600); err != nil {
			t.Fatal(err)
		}
		if data, ok := s.Get(key); ok {
			t.Errorf("%s: got %q", name, data)
		}
	}
}

func TestOldestGoFirst(t *testing.T) {
	s := Open(t.TempDir())
	s.most = 3 * (1000 + 32)
	keys := []string{Key([]byte("1")), Key([]byte("2")), Key([]byte("3")), Key([]byte("4"))}
	for i, k := range keys {
		if err := s.Put(k, bytes.Repeat([]byte("x"), 1000)); err != nil {
			t.Fatal(err)
		}
		when := time.Now().Add(time.Duration(i-10) * time.Minute)
		if err := os.Chtimes(s.file(k), when, when); err != nil && i < 3 {
			t.Fatal(err)
		}
	}
	for i, k := range keys {
		if _, ok := s.Get(k); ok != (i > 0) {
			t.Errorf("result %d kept: %v", i+1, ok)
		}
	}
}

// A folder that cannot be written to costs time, not the run.
func TestUnwritable(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	s := Open(file)
	if err := s.Put(Key(), []byte("x")); err == nil {
		t.Error("writing below a file gives no error")
	}
	if _, ok := s.Get(Key()); ok {
		t.Error("reading below a file gives data")
	}
	var none *Store
	if err := none.Put("x", nil); err != nil {
		t.Error(err)
	}
	if _, ok := none.Get("x"); ok {
		t.Error("the nil store gives data")
	}
}
