package child

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"slipring/engine/bench"
	"slipring/engine/circuit"
	"slipring/engine/cutting"
	"slipring/engine/machine"
	"slipring/engine/reading"
	"slipring/engine/reconcile"
	"slipring/engine/tell"
)

// Parent and child talk in frames: a byte that says what it is, the length of
// the rest in four bytes, the rest. Down the child's standard input goes one
// request; the pipe then stays open for as long as the parent lives. Up its
// standard output come any number of marks and one answer.
const (
	frameRequest = 'r' // JSON of a request
	frameMark    = 'm' // a number of eight bytes: the mark at this moment
	frameAnswer  = 'a' // JSON of an answer
)

type request struct {
	Source  []byte
	Cards   []machine.Card
	Laid    bench.Beside
	Entered []reading.Reading          `json:",omitempty"`
	Wiring  *circuit.Wiring            `json:",omitempty"`
	Cutting *cutting.Plan              `json:",omitempty"`
	Papers  *reconcile.Papers          `json:",omitempty"`
	Known   map[string]json.RawMessage `json:",omitempty"` // runs that earlier children kept
	Limits  Limits
	Shared  bool // file 3 is the place for the mark
	Plain   bool // do as on a system that cannot limit memory, for tests
}

// answer holds a result, or says what kept the child from having one.
type answer struct {
	Result  *tell.Result `json:",omitempty"`
	Failure *failure     `json:",omitempty"`

	Runs map[string]json.RawMessage `json:",omitempty"` // new ones, for later children
}

// failure is what went wrong while the cells ran. Line, where it is not 0, is
// a line of the assembled file, and then stands for the position.
type failure struct {
	Text string
	Hint string
	Mark int
	Line int
}

func writeFrame(w io.Writer, kind byte, content []byte) error {
	head := make([]byte, 5, 5+len(content))
	head[0] = kind
	binary.BigEndian.PutUint32(head[1:], uint32(len(content)))
	_, err := w.Write(append(head, content...))
	return err
}

// readFrame reads a frame of at most limit bytes. At the end of the stream it
// gives io.EOF.
func readFrame(r io.Reader, limit int) (kind byte, content []byte, err error) {
	var head [5]byte
	if _, err := io.ReadFull(r, head[:]); err != nil {
		return 0, nil, err
	}
	n := int64(binary.BigEndian.Uint32(head[1:]))
	if n > int64(limit) {
		return 0, nil, fmt.Errorf("a frame of %d bytes", n)
	}
	var b bytes.Buffer // grows with what really comes
	if _, err := io.CopyN(&b, r, n); err != nil {
		return 0, nil, io.ErrUnexpectedEOF
	}
	return head[0], b.Bytes(), nil
}

// mostParts bounds how many objects and lists an answer may hold: the
// smallest take more memory once they are read than they had bytes.
const mostParts = 1 << 20

// parts counts the objects and lists of an answer, and perhaps brackets in words
// that are told, which does no harm.
func parts(content []byte) int {
	return bytes.Count(content, []byte("{")) + bytes.Count(content, []byte("["))
}

// readAnswer reads an answer as if anyone could have written it.
func readAnswer(content []byte, cards []machine.Card, limits Limits) (answer, error) {
	if n := parts(content); n > mostParts {
		return answer{}, fmt.Errorf("%d objects and lists", n)
	}
	var a answer
	d := json.NewDecoder(bytes.NewReader(content))
	d.DisallowUnknownFields()
	if err := d.Decode(&a); err != nil {
		return answer{}, err
	}
	if _, err := d.Token(); err != io.EOF {
		return answer{}, errors.New("more than one answer")
	}
	if (a.Result == nil) == (a.Failure == nil) {
		return answer{}, errors.New("neither a result nor a failure")
	}
	if a.Result != nil {
		if err := validate(*a.Result, cards, limits); err != nil {
			return answer{}, err
		}
	}
	return a, nil
}
