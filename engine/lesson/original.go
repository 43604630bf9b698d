package lesson

import (
	"bytes"
	"sort"
)

// original is a lesson file with what the Markdown parser gets to see of it:
// no byte order mark, and every line ended by a line feed alone. Offsets in
// the clean text can be turned back into offsets in the file.
type original struct {
	source []byte
	clean  []byte
	mark   int   // length of the byte order mark
	cut    []int // offsets in clean of the line feeds that lost their carriage return
}

var byteOrderMark = []byte("\xef\xbb\xbf")

func unify(source []byte) original {
	o := original{source: source, clean: source}
	if rest, ok := bytes.CutPrefix(source, byteOrderMark); ok {
		o.clean, o.mark = rest, len(byteOrderMark)
	}
	if !bytes.Contains(o.clean, []byte("\r\n")) {
		return o
	}
	rest := o.clean
	clean := make([]byte, 0, len(rest))
	for {
		i := bytes.Index(rest, []byte("\r\n"))
		if i < 0 {
			break
		}
		clean = append(clean, rest[:i]...)
		o.cut = append(o.cut, len(clean))
		clean = append(clean, '\n')
		rest = rest[i+2:]
	}
	o.clean = append(clean, rest...)
	return o
}

// at gives the offset in the file of an offset in the clean text.
func (o original) at(offset int) int {
	return offset + o.mark + sort.SearchInts(o.cut, offset)
}

// relocate makes all offsets below n offsets in the file, and gives bound
// texts the bytes of the file.
func (o original) relocate(n *Node) {
	n.Walk(func(n *Node) bool {
		n.Offset, n.End = o.at(n.Offset), o.at(n.End)
		if n.Kind == Bound || n.Kind == Insert && len(n.Children) > 0 {
			n.Text = string(o.source[n.Offset:n.End])
		}
		for i := range n.stretches {
			n.stretches[i].at = o.at(n.stretches[i].at)
		}
		if n.Question != nil {
			n.Question.relocate(o)
		}
		if n.Step != nil {
			n.Step.relocate(o)
		}
		return true
	})
}

// lineStarts gives the offset of each line of source.
func lineStarts(source []byte) []int {
	starts := make([]int, 1, 1+bytes.Count(source, []byte("\n")))
	for i, c := range source {
		if c == '\n' {
			starts = append(starts, i+1)
		}
	}
	return starts
}
