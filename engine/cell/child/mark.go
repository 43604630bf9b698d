package child

import (
	"encoding/binary"
	"os"
	"regexp"
)

// The child notes at which mark it stands, where the parent finds it even
// when the child has died without a word: out of memory, or too deep in
// calls.

// markSize is the length of the shared file: one int.
const markSize = 8

// noter is the child's side. The interpreter writes to at without a lock,
// while the watch may read it: a whole number arrives whole, and which of two
// neighbouring marks is seen does not matter.
type noter struct{ at *int }

func (n noter) note(mark int) { *n.at = mark }

//go:norace
func (n noter) last() int { return *n.at }

// readMark is the parent's side.
func readMark(f *os.File) int {
	var b [markSize]byte
	if _, err := f.ReadAt(b[:], 0); err != nil {
		return -1
	}
	return int(binary.NativeEndian.Uint64(b[:]))
}

// storing gives an assembled file in which marks are stored instead of handed
// to a function: the interpreter needs 400 ns to call compiled code and 30 ns
// for a store, and there is a mark before each statement. Line numbers stay.
func storing(source []byte) []byte {
	out := markCall.ReplaceAll(source, []byte("$1*__spot = $2"))
	return append(out, "\n\nvar __spot *int\n\nfunc "+placeName+"(p *int) { __spot = p }\n"...)
}

// placeName is the function that tells an assembled file where to store marks.
const placeName = "__place"

// markCall is a mark in an assembled file: a line of its own. No text of a
// cell looks like one, because text stands there on one line, in quotes.
var markCall = regexp.MustCompile(`(?m)^([ \t]*)__mark\((\w+)\)$`)
