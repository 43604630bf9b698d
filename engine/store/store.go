// Package store keeps results between runs of the command, in a folder of the
// user's, so that an unchanged lesson need not be run again.
//
//	s := store.Open(dir)
//	key := store.Key([]byte("lesson"), program, card)
//	if data, ok := s.Get(key); ok { ... }
//	s.Put(key, data)
//
// A store only ever saves time: what is missing, damaged or cannot be written
// is computed anew. It knows nothing of what it keeps.
package store

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync/atomic"
	"time"

	"slipring/engine/replace"
)

// Store is a folder of results. The nil Store keeps nothing.
type Store struct {
	dir  string
	most int64
	room atomic.Int64 // may be put before the folder is looked at again
}

// mostBytes is how much a store holds before the least recently written
// results go.
const mostBytes = 256 << 20

// Open gives the store in a folder, which is made when first needed.
func Open(dir string) *Store { return &Store{dir: dir, most: mostBytes} }

// Key gives a name for the result of the given ingredients. Different lists of
// ingredients have different keys, however they are divided.
func Key(ingredients ...[]byte) string {
	sum := sha256.New()
	var length [8]byte
	for _, in := range ingredients {
		binary.BigEndian.PutUint64(length[:], uint64(len(in)))
		sum.Write(length[:])
		sum.Write(in)
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// Get gives the data kept under a key. Data that was damaged counts as absent.
func (s *Store) Get(key string) ([]byte, bool) {
	if s == nil {
		return nil, false
	}
	content, err := s.read(key)
	if err != nil || len(content) < sha256.Size {
		return nil, false
	}
	sum, data := content[:sha256.Size], content[sha256.Size:]
	if got := sha256.Sum256(data); !bytes.Equal(sum, got[:]) {
		return nil, false
	}
	return data, true
}

// read reads an ordinary file. Whatever else has taken its name, such as a pipe,
// keeps nobody waiting, and a file that no Put has written is not read.
func (s *Store) read(key string) ([]byte, error) {
	info, err := os.Stat(s.file(key))
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > s.most {
		return nil, errors.New("not as it was put")
	}
	f, err := os.Open(s.file(key))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, s.most))
}

// Put keeps data under a key, and forgets the oldest data when the store has
// grown too large. An error may be passed over: the data is then computed
// again next time.
func (s *Store) Put(key string, data []byte) error {
	if s == nil {
		return nil
	}
	if err := os.MkdirAll(s.dir, 0o700); err != nil {
		return err
	}
	sum := sha256.Sum256(data)
	if err := replace.File(s.file(key), append(sum[:], data...), 0o600, replace.Loose); err != nil {
		return err
	}
	// To look at the folder takes time with every file in it, and so is not
	// done each time; the store may hold a little more for a while.
	if s.room.Add(-int64(len(data))) >= 0 {
		return nil
	}
	s.room.Store(s.most / 64)
	return s.prune()
}

func (s *Store) file(key string) string { return filepath.Join(s.dir, key) }

func (s *Store) prune() error {
	entries, err := os.ReadDir(s.dir)
	if err != nil {
		return err
	}
	var files []fs.FileInfo
	var total int64
	for _, e := range entries {
		if info, err := e.Info(); err == nil && info.Mode().IsRegular() {
			files = append(files, info)
			total += info.Size()
		}
	}
	slices.SortFunc(files, func(a, b fs.FileInfo) int {
		return cmp.Or(a.ModTime().Compare(b.ModTime()), cmp.Compare(a.Name(), b.Name()))
	})
	for _, f := range files {
		left := time.Since(f.ModTime()) > 24*time.Hour && len(f.Name()) != 2*sha256.Size // of a killed run
		if total <= s.most && !left {
			continue
		}
		if err := os.Remove(s.file(f.Name())); err != nil && !errors.Is(err, fs.ErrNotExist) { // another run was quicker
			return err
		}
		total -= f.Size()
	}
	return nil
}
