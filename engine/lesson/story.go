package lesson

import "strings"

// Story gives the blocks of each scene of what docents tell: the visitor
// panels that are not for the screen alone, or, for want of them, the lesson's
// beginning, up to its second heading.
func (l *Lesson) Story() [][]*Node {
	var scenes [][]*Node
	l.Body.Walk(func(n *Node) bool {
		if n.Kind == VisitorPanel && n.Purpose == "" {
			scenes = append(scenes, n.Children)
		}
		return n.Kind != VisitorPanel
	})
	if len(scenes) > 0 {
		return scenes
	}
	var blocks []*Node
	for _, n := range l.WithoutTitle() {
		switch n.Kind {
		case Heading:
			if len(blocks) > 0 {
				return [][]*Node{blocks}
			}
		case Caution, CellBlock, VisitorPanel, TalkingPoint, TeacherBlock, TalkBlock, QuestionBlock, MachineSteps, MachineLimit, StepBlock:
			continue
		}
		blocks = append(blocks, n)
	}
	return [][]*Node{blocks}
}

// OnScreenAlone gives the headings of the panels that no sheet has.
func (l *Lesson) OnScreenAlone() []*Node {
	var headings []*Node
	l.Body.Walk(func(n *Node) bool {
		if n.Kind == VisitorPanel && n.Purpose != "" && len(n.Children) > 0 && n.Children[0].Kind == Heading {
			headings = append(headings, n.Children[0])
		}
		return n.Kind == Document
	})
	return headings
}

// WithoutTitle gives the blocks of a lesson but for a first heading that
// repeats its title.
func (l *Lesson) WithoutTitle() []*Node {
	for i, n := range l.Body.Children {
		if n.Kind == Heading {
			if n.Level == 1 && strings.EqualFold(oneLine(n.Words()), oneLine(l.Title)) {
				return append(append([]*Node{}, l.Body.Children[:i]...), l.Body.Children[i+1:]...)
			}
			break
		}
	}
	return l.Body.Children
}

// Words gives the text below a node without its markup.
func (n *Node) Words() string {
	var b strings.Builder
	n.Walk(func(n *Node) bool {
		switch n.Kind {
		case Text, CodeSpan, RawHTML:
			b.WriteString(n.Text)
		case SoftBreak, HardBreak:
			b.WriteByte('\n')
		}
		return true
	})
	return b.String()
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
