package cell

import (
	"encoding/binary"
	"os"
	"sync/atomic"
)

// The child notes at which mark it stands, where the parent finds it even
// when the child has died without a word: out of memory, or too deep in
// calls. Noted is the mark and one, so that 0 is none.

// markSize is the length of the shared file; a page holds more.
const markSize = 8

// noter is the child's side.
type noter struct{ at *atomic.Int64 }

func (n noter) note(mark int) { n.at.Store(int64(mark) + 1) }

func (n noter) last() int { return int(n.at.Load()) - 1 }

// readMark is the parent's side.
func readMark(f *os.File) int {
	var b [markSize]byte
	if _, err := f.ReadAt(b[:], 0); err != nil {
		return -1
	}
	return int(int64(binary.NativeEndian.Uint64(b[:]))) - 1
}
