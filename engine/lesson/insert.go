package lesson

import (
	"fmt"
	"regexp"
	"strings"
)

var insertForm = regexp.MustCompile(`^([a-z][a-z0-9]*(?:[.-][a-z0-9]+)*)(?:\s+(\S.*?))?\s*$`)

// inserts finds {name} and {name 16.64 Hz} in the texts below n, and puts a
// node in the place of each. They stand where no link can: in the texts of
// questions and in alternative text.
func (c *converter) inserts(n *Node) {
	var children []*Node
	for _, child := range n.Children {
		switch child.Kind {
		case Text:
			children = append(children, c.insertsIn(child)...)
		case Bound: // a quote holds no other
			children = append(children, child)
		default:
			c.inserts(child)
			children = append(children, child)
		}
	}
	n.Children = children
}

func (c *converter) insertsIn(t *Node) []*Node {
	raw := string(c.source[t.Offset-c.base : t.End-c.base])
	if !strings.Contains(raw, "{") {
		return []*Node{t}
	}
	var out []*Node
	text := func(from, to int) {
		if from < to {
			out = append(out, &Node{Kind: Text, Offset: t.Offset + from, End: t.Offset + to, Text: unescape([]byte(raw[from:to]))})
		}
	}
	done := 0
	for i := 0; i < len(raw); i++ {
		switch raw[i] {
		case '\\':
			i++ // what follows is meant as it stands
			continue
		case '{':
		default:
			continue
		}
		const form = `write {name} or {name 16.64 Hz} for a number that a cell told, and \{ for a brace`
		length := strings.IndexByte(raw[i:], '}')
		if length < 0 {
			c.say(t.Offset+i-c.base, "insert", "this brace is never closed", form)
			break
		}
		inside := raw[i+1 : i+length]
		m := insertForm.FindStringSubmatchIndex(inside)
		if m == nil {
			c.say(t.Offset+i-c.base, "insert", fmt.Sprintf("%q in braces names no value", inside), form)
			i += length
			continue
		}
		text(done, i)
		node := &Node{Kind: Insert, Name: inside[m[2]:m[3]]}
		from, to := i+1+m[2], i+1+m[3]
		if m[4] >= 0 {
			from, to = i+1+m[4], i+1+m[5]
			node.Children = []*Node{{Kind: Text, Offset: t.Offset + from, End: t.Offset + to, Text: unescape([]byte(raw[from:to]))}}
			node.Text = raw[from:to]
		}
		node.Offset, node.End = t.Offset+from, t.Offset+to
		out = append(out, node)
		i += length
		done = i + 1
	}
	text(done, len(raw))
	return out
}
