package proof

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/language"
	"slipring/engine/lesson"
)

// uses lists what a lesson uses by name: labels, and what it places. Each name
// stands there once, where it is used first.
type uses struct {
	names []string
	first map[string]*lesson.Node
}

func usesIn(body *lesson.Node) uses {
	u := uses{first: map[string]*lesson.Node{}}
	body.Walk(func(n *lesson.Node) bool {
		if name := usedName(n); name != "" && u.first[name] == nil {
			u.names = append(u.names, name)
			u.first[name] = n
		}
		return true
	})
	return u
}

// usedName gives the label of a bound text, or the kind and name of what is
// placed; labels hold no colon.
func usedName(n *lesson.Node) string {
	switch n.Kind {
	case lesson.Bound, lesson.Insert:
		return n.Name
	case lesson.Embed:
		return n.EmbedKind + ":" + n.Name
	}
	return ""
}

// foreign says whether a translation uses a name that its lesson does not,
// which is then all there is to say about it.
func (c *checker) foreign(n *lesson.Node) bool {
	return c.base != nil && c.base.first[usedName(n)] == nil
}

// same checks that a translation binds, places and warns of the same as its
// lesson. Each difference is one finding.
func (c *checker) same() {
	c.sameNames()
	for _, b := range [...]struct {
		kind lesson.Kind
		what string
	}{{lesson.VisitorPanel, "visitor panel"}, {lesson.TalkingPoint, "talking point"}, {lesson.TeacherBlock, "block for teachers"}, {lesson.TalkBlock, "talk"}, {lesson.MachineSteps, "block of steps at the machine"}, {lesson.MachineLimit, "limit"}, {lesson.StepBlock, "step"}, {lesson.QuestionBlock, "question"}, {lesson.EntryBlock, "block of the entry"}} {
		ours, theirs := blocksOf(c.lesson, b.kind), blocksOf(c.lesson.Base, b.kind)
		c.sameCount(b.what, ours, theirs)
		if len(ours) != len(theirs) {
			continue
		}
		for i := range ours {
			if ours[i].Purpose != theirs[i].Purpose {
				c.say(ours[i].Offset, ruleSameBlocks, fmt.Sprintf("this is for %q, and in the lesson (%s) for %q", ours[i].Purpose, c.line(theirs[i]), theirs[i].Purpose),
					"write the same behind its info word")
			}
			switch b.kind {
			case lesson.EntryBlock:
				if ours[i].Name != theirs[i].Name {
					c.say(ours[i].Offset, ruleSameBlocks, fmt.Sprintf("this names the question %q, but that of the entry (%s) %q", ours[i].Name, c.line(theirs[i]), theirs[i].Name), "let both name the same")
				}
			case lesson.VisitorPanel:
				c.samePicture(i, ours[i], theirs[i])
				c.sameGuess(i, ours[i], theirs[i])
			case lesson.MachineSteps, lesson.MachineLimit:
				c.sameDay(b.what, ours[i], theirs[i])
			case lesson.TalkBlock:
				if ours[i].Hazard != theirs[i].Hazard {
					c.say(ours[i].Offset, ruleSameBlocks, fmt.Sprintf("this talk is about %q, but that of the lesson (%s) about %q", ours[i].Hazard, c.line(theirs[i]), theirs[i].Hazard),
						"let both be about the same hazard")
				}
			case lesson.StepBlock:
				c.sameStep(fmt.Sprintf("step %d", i+1), ours[i], theirs[i])
			case lesson.QuestionBlock:
				c.sameQuestion(fmt.Sprintf("question %d", i+1), ours[i], theirs[i])
			}
		}
	}
	c.sameCautions()
	if ours, theirs := c.lesson.Facts.Revised, c.lesson.Base.Facts.Revised; ours != "" && ours < theirs {
		c.say(c.lesson.Facts.TitleAt, ruleOlder, fmt.Sprintf("the lesson was revised on %s, after its translation (%s)", theirs, ours),
			"read both side by side, then give the translation the date of that day")
	}
}

// line says where a node of the lesson stands, for a finding about its
// translation.
func (c *checker) line(n *lesson.Node) string {
	line, _ := c.lesson.Base.At(n.Offset)
	return fmt.Sprintf("line %d", line)
}

func (c *checker) sameNames() {
	ours := usesIn(c.lesson.Body)
	missing := slices.DeleteFunc(slices.Clone(c.base.names), func(name string) bool { return ours.first[name] != nil })
	for _, name := range ours.names {
		if c.base.first[name] != nil {
			continue
		}
		n := ours.first[name]
		text := fmt.Sprintf("the label %q is not used in the lesson itself", name)
		hint := "use it there too, or leave the brackets and the label out"
		if n.Kind == lesson.Embed {
			text = fmt.Sprintf("the lesson itself does not place %q", name)
			hint = "place it there too, or leave it out"
		}
		near := diag.Nearest(name, missing)
		if i := slices.Index(missing, near); i >= 0 {
			missing = slices.Delete(missing, i, i+1) // one slip, one finding
		} else {
			near = diag.Nearest(name, c.base.names)
		}
		if near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		c.say(n.Offset, ruleSameLabels, text, hint)
	}
	for _, name := range missing {
		n := c.base.first[name]
		text := fmt.Sprintf("the lesson uses the label %q (%s), but its translation does not", name, c.line(n))
		hint := fmt.Sprintf("translate that sentence, with its words in brackets: [...][%s]", name)
		switch n.Kind {
		case lesson.Embed:
			text = fmt.Sprintf("the lesson places %q (%s), but its translation does not", name, c.line(n))
			hint = fmt.Sprintf("place it with ![what it shows](%s)", name)
		case lesson.Insert:
			hint = fmt.Sprintf("translate that sentence, with its number in braces: {%s}", name)
		}
		c.say(c.counterpart(n), ruleSameLabels, text, hint)
	}
}

func blocksOf(l *lesson.Lesson, kind lesson.Kind) []*lesson.Node {
	var list []*lesson.Node
	l.Body.Walk(func(n *lesson.Node) bool {
		if n.Kind == kind {
			list = append(list, n)
		}
		return n.Kind == lesson.Document
	})
	return list
}

func (c *checker) sameCount(what string, ours, theirs []*lesson.Node) {
	text := fmt.Sprintf("the lesson has %s, its translation %s", counted(len(theirs), what), numbered(len(ours)))
	switch a, b := len(ours), len(theirs); {
	case a < b:
		c.say(c.counterpart(theirs[a]), ruleSameBlocks, text, fmt.Sprintf("translate the %s of %s", what, c.line(theirs[a])))
	case a > b:
		c.say(ours[b].Offset, ruleSameBlocks, text, "write it into the lesson too, or leave it out")
	}
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return numbered(n) + " " + what + "s"
}

func numbered(n int) string {
	if n == 0 {
		return "no"
	}
	return fmt.Sprint(n)
}

// samePicture checks that a panel places what the lesson's does.
func (c *checker) samePicture(i int, ours, theirs *lesson.Node) {
	a, b := picturesOf(ours), picturesOf(theirs)
	if slices.Equal(a, b) || slices.ContainsFunc(a, func(name string) bool { return c.base.first[name] == nil }) {
		return
	}
	shows := func(list []string) string {
		if len(list) == 0 {
			return "nothing"
		}
		return fmt.Sprintf("%q", strings.Join(list, ", "))
	}
	c.say(ours.Offset, ruleSameBlocks,
		fmt.Sprintf("visitor panel %d places %s, but that of the lesson (%s) places %s", i+1, shows(a), c.line(theirs), shows(b)),
		"place the same in both")
}

// sameGuess checks that a panel asks its visitor the same as the lesson's does,
// and shows the same after it.
func (c *checker) sameGuess(i int, ours, theirs *lesson.Node) {
	_, a, after := ours.Guess()
	_, b, then := theirs.Guess()
	switch {
	case a == nil && b == nil:
	case a == nil:
		c.say(ours.Offset, ruleSameBlocks, fmt.Sprintf("visitor panel %d has no guess, but that of the lesson has (%s)", i+1, c.line(b)),
			"translate it, within the panel: the block begins with ~~~guess")
	case b == nil:
		c.say(a.Offset, ruleSameBlocks, fmt.Sprintf("visitor panel %d has a guess, but that of the lesson (%s) has none", i+1, c.line(theirs)),
			"write it into the lesson too, or leave it out")
	case !slices.Equal(picturesOf(after...), picturesOf(then...)) && slices.Equal(picturesOf(ours), picturesOf(theirs)):
		c.say(a.Offset, ruleSameBlocks, fmt.Sprintf("visitor panel %d does not place the same below its guess as that of the lesson (%s)", i+1, c.line(b)),
			"place the same above the guess in both, and the same below")
	default:
		c.sameQuestion(fmt.Sprintf("the guess of visitor panel %d", i+1), a, b)
	}
}

func picturesOf(blocks ...*lesson.Node) []string {
	var list []string
	for _, b := range blocks {
		b.Walk(func(n *lesson.Node) bool {
			if n.Kind == lesson.Embed {
				list = append(list, usedName(n))
			}
			return true
		})
	}
	slices.Sort(list)
	return list
}

// sameQuestion checks that a question has the answer that the lesson's has.
func (c *checker) sameQuestion(what string, ours, theirs *lesson.Node) {
	if ours.Question == nil || theirs.Question == nil {
		return
	}
	a, b := c.answersOf(ours.Question, c.language), c.answersOf(theirs.Question, c.lesson.Base.Tongue())
	for k := range max(len(a), len(b)) {
		switch {
		case k >= len(a):
			c.say(ours.Offset, ruleSameBlocks, fmt.Sprintf("%s lacks %s, which that of the lesson (%s) has", what, b[k].what, c.line(theirs)),
				"translate it too")
		case k >= len(b):
			c.say(a[k].at, ruleSameBlocks, fmt.Sprintf("%s has %s, which that of the lesson (%s) lacks", what, a[k].what, c.line(theirs)),
				"leave it out, or write it into the lesson too")
		case a[k].what != b[k].what:
			c.say(max(a[k].at, ours.Offset), ruleSameBlocks, fmt.Sprintf("%s has %s, that of the lesson (%s) %s", what, a[k].what, c.line(theirs), b[k].what),
				"let both ask for the same, options in the same order")
		default:
			continue
		}
		return
	}
}

// answer is one part of what a question's answer follows from.
type answer struct {
	what string
	at   int
}

// unitOf names the unit in which a value is compared as a cell would tell it, so
// that it can be compared with that of another language.
func (c *checker) unitOf(value, in lesson.Reference, g *language.Language) string {
	_, told, _, _ := c.number(value.Name)
	unit := language.Of("en").Same(told, told)
	if in.Name != "" {
		unit = g.Same(told, in.Name)
	}
	if unit == "" {
		return "no unit"
	}
	return fmt.Sprintf("the unit %q", unit)
}

func part(what string, r lesson.Reference) answer {
	if r.Name == "" {
		return answer{"no " + what, r.At}
	}
	return answer{fmt.Sprintf("the %s %q", what, r.Name), r.At}
}

func (c *checker) answersOf(q *lesson.Question, g *language.Language) []answer {
	list := []answer{
		part("answer", q.Answer),
		{c.unitOf(q.Answer, q.Unit, g), q.Unit.At},
		{fmt.Sprintf("the tolerance %q", strings.TrimSpace(fmt.Sprint(q.Within.Number, " ", q.Within.Unit))), q.Within.At},
	}
	if q.Kind != lesson.Number {
		list = []answer{part("rule", q.Rule)}
	}
	for _, o := range q.Options {
		name := o.Name.Name
		if o.Not {
			name = "not " + name
		}
		list = append(list, answer{fmt.Sprintf("the option %q", name), o.Name.At})
	}
	return list
}

// sameCautions checks that each caution of the lesson is in the translation, and
// no other, and that both add to the house's words or neither does.
func (c *checker) sameCautions() {
	left := blocksOf(c.lesson.Base, lesson.Caution)
	for _, n := range blocksOf(c.lesson, lesson.Caution) {
		i := slices.IndexFunc(left, func(b *lesson.Node) bool { return b.Hazard == n.Hazard })
		if i < 0 {
			c.say(n.Offset, ruleSameBlocks, fmt.Sprintf("the lesson has no such caution about %q", n.Hazard), "write it into the lesson too, or leave it out")
			continue
		}
		b := left[i]
		left = slices.Delete(left, i, i+1)
		switch ours, theirs := len(n.Children) > 0, len(b.Children) > 0; {
		case ours && !theirs:
			c.say(n.Offset, ruleSameBlocks, fmt.Sprintf("this caution has words of its own, but that of the lesson (%s) has none", c.line(b)),
				"write them into the lesson too, or leave them out")
		case theirs && !ours:
			c.say(n.Offset, ruleSameBlocks, fmt.Sprintf("this caution has no words of its own, but that of the lesson (%s) has", c.line(b)), "translate them")
		}
	}
	for _, b := range left {
		c.say(c.counterpart(b), ruleSameBlocks, fmt.Sprintf("the lesson has a caution about %q (%s), its translation does not", b.Hazard, c.line(b)),
			fmt.Sprintf("translate the block, which begins with ```caution %s", b.Hazard))
	}
}

// counterpart gives the place in a translation where a node of the lesson would
// be looked for: the block with the same number under the heading with the same
// number, or else the end of what is there.
func (c *checker) counterpart(n *lesson.Node) int {
	var section, block int
	for _, b := range c.lesson.Base.Body.Children {
		section, block = numberOf(b, section, block)
		if n.Offset < max(b.End, b.Offset+1) {
			break
		}
	}
	place := c.lesson.Facts.TitleAt
	var ourSection, ourBlock int
	for _, b := range c.lesson.Body.Children {
		if b.Kind == lesson.CellBlock {
			continue
		}
		ourSection, ourBlock = numberOf(b, ourSection, ourBlock)
		if ourSection > section || ourSection == section && ourBlock > block {
			break
		}
		place = b.Offset
	}
	return place
}

// numberOf numbers a block of a lesson after the one before it: its section and
// its place there, where a heading has number 0. Cells do not count.
func numberOf(b *lesson.Node, section, block int) (int, int) {
	switch b.Kind {
	case lesson.CellBlock:
		return section, block
	case lesson.Heading:
		return section + 1, 0
	}
	return section, block + 1
}
