package lesson

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"

	"slipring/engine/diag"
)

// roles lists the info words that give a fenced block a role.
var roles = [...]string{"lesson", "go", "visitor", "docent", "caution", "talk", "question", "guess", "formula", "machine", "limit", "screen", "teacher", "step"}

// furnished lists those of them that take words behind them.
var furnished = [...]string{"caution", "talk", "machine", "limit", "visitor", "docent", "teacher", "step", "open", "answer"}

// hazards lists what may follow the info word "caution".
var hazards = [...]string{"rotating", "voltage", "battery", "overspeed", "dust", "insulation"}

// talking lists what may follow the info word "docent", and teaching what
// follows "teacher".
var (
	talking  = [...]string{"asked", "stand", "hands"}
	teaching = [...]string{"experiment", "8-10", "11-14", "15"}
)

// TalkingPurposes lists what a talking point may be for, beside what to say:
// what children ask, where to stand, and what nobody touches.
func TalkingPurposes() []string { return talking[:] }

// TeacherPurposes lists what a block for teachers may be: an experiment with
// things from home, or a question for the ages that it names, the last for
// those of 15 and more.
func TeacherPurposes() []string { return teaching[:] }

// days lists what follows the info words "machine" and "limit": when in a day at
// the machine it is the steps' turn, in the order of the day.
var days = [...]string{"before", "isolated", "start", "idle", "load", "stopped"}

// Days lists the times of a day at the machine, in their order.
func Days() []string { return days[:] }

// Hazards lists the hazards that a lesson may declare and a caution may name.
func Hazards() []string { return hazards[:] }

// fenced is one fenced block. Offsets count in the converter's source.
type fenced struct {
	at         int // of the fence
	start, end int // of the content
	info       string
	words      []string // of info
	top        bool     // begins a line at the outermost level
	first      bool     // nothing stands before it
	closed     bool
	node       *Node // where it goes
	code       *ast.FencedCodeBlock
}

func (c *converter) fencedBlock(n *ast.FencedCodeBlock, b *Node, depth int) *Node {
	b.Kind, b.Text = CodeBlock, c.lines(n.Lines())
	if n.Info != nil {
		b.Info = unescape(n.Info.Value(c.source))
	}
	f := fenced{at: c.pos(n), info: b.Info, words: strings.Fields(b.Info), node: b, code: n}
	f.first = n.PreviousSibling() == nil
	f.top = depth == 0 && (f.at == 0 || c.source[f.at-1] == '\n')
	if k := n.Lines().Len(); k > 0 {
		f.start, f.end = n.Lines().At(0).Start, n.Lines().At(k-1).Stop
	} else {
		f.start = len(c.source)
		if i := bytes.IndexByte(c.source[f.at:], '\n'); i >= 0 {
			f.start = f.at + i + 1
		}
		f.end = f.start
	}
	f.closed = f.end < len(c.source)
	b.End = c.base + f.end
	if c.fence == nil {
		return b
	}
	return c.fence(f, c)
}

// fencedBlock gives a block with an info word its role in the lesson. It
// returns nil for the lesson block, which shows nothing.
func (r *reading) fencedBlock(f fenced, c *converter) *Node {
	say := func(text, hint string) { c.say(f.at, "block", text, hint) }
	if len(f.words) == 0 || !slices.Contains(r.roles(), f.words[0]) {
		if len(f.words) > 0 && r.entry && slices.Contains(roles[:], f.words[0]) {
			say(fmt.Sprintf("a %q block has no place in an entry of the logbook", f.words[0]), "an entry is made of: "+strings.Join(entryPurposes[:], ", "))
		} else if len(f.words) > 0 {
			r.nearMiss(f, c)
		}
		if !f.closed && f.top {
			say("this block of code is never closed, so it swallows the rest of the "+r.noun(),
				"end it with a line that holds only its fence, such as ```")
		}
		return f.node
	}
	word, rest := f.words[0], f.words[1:]
	anywhere := word == "formula"
	inPanel := r.panel > 0 && c.base == r.panel
	guessed := word == "guess" && inPanel
	screened := word == "screen" && inPanel
	swallows, end := r.noun(), "end it with a line that holds only its fence, such as ```"
	if guessed || screened {
		swallows, end = "panel", "fence it with ~~~ where the panel is fenced with ```, and end it with a line that holds only ~~~"
	}
	switch {
	case word == "guess" && !guessed:
		say("a guess stands in a visitor panel, and nowhere else",
			"put it into a block that begins with ```visitor, and fence it with ~~~; in the course, ask with a question")
		return f.node
	case word == "screen" && !screened:
		say("a block for the screen stands in a visitor panel, and nowhere else",
			"put it into a block that begins with ```visitor, and fence it with ~~~")
		return f.node
	case c.base > 0 && !anywhere && !guessed && !screened:
		line, _ := r.lesson.At(r.text.at(r.around))
		say(fmt.Sprintf("a %q block cannot stand within another block", word),
			fmt.Sprintf("close the block that begins on line %d first, with a line that holds only its fence", line))
		return f.node
	case !f.top && !anywhere:
		say(fmt.Sprintf("a %q block cannot stand within a list or a quotation, or be indented", word),
			"let its fence begin a line, with an empty line before it; to show code without a role, use another info word, such as text")
		return f.node
	case !f.closed:
		say(fmt.Sprintf("the %q block is never closed, so it swallows the rest of the %s", word, swallows), end)
		r.found = r.found || word == r.head()
		return f.node
	case !slices.Contains(furnished[:], word) && len(rest) > 0:
		say(fmt.Sprintf("%q stands behind the info word %q, which takes nothing more", strings.Join(rest, " "), word),
			"leave it out")
	}
	n := f.node
	n.Info, n.Text = "", ""
	switch word {
	case lessonHead, entryHead:
		r.lessonBlock(f, c)
		return nil
	case "formula":
		c.displayed(f.code, n)
		return n
	case "question":
		r.question(n, f, c, QuestionBlock)
		return n
	case "guess":
		r.question(n, f, c, GuessBlock)
		return n
	case "step":
		r.step(n, f, c, rest, say)
		return n
	case "go":
		if r.translates() {
			say("a translation has no cells: it shares those of its lesson", "take the block out; to show code, use another info word, such as text")
			return n
		}
		n.Kind, n.Cell = CellBlock, len(r.lesson.Cells)
		from, to := r.text.at(f.start), r.text.at(f.end)
		r.lesson.Cells = append(r.lesson.Cells, Cell{Source: string(r.text.source[from:to]), Offset: from})
		return n
	case "caution":
		n.Kind = Caution
		n.Hazard = hazardBehind(word, rest, say)
	case "talk":
		n.Kind = TalkBlock
		n.Hazard = hazardBehind(word, rest, say)
	case "visitor":
		n.Kind = VisitorPanel
		n.Purpose = purpose(word, rest, []string{"screen"}, say)
	case "docent":
		n.Kind = TalkingPoint
		n.Purpose = purpose(word, rest, talking[:], say)
	case "teacher":
		n.Kind = TeacherBlock
		if n.Purpose = purpose(word, rest, teaching[:], say); len(rest) == 0 {
			say("a block for teachers says what it is", "write teacher experiment, or teacher with the ages that its question is for: "+strings.Join(teaching[1:], ", "))
		}
	case "screen":
		n.Kind = ScreenBlock
	case "machine":
		n.Kind = MachineSteps
		r.day(n, word, rest, say)
	case "limit":
		n.Kind = MachineLimit
		r.day(n, word, rest, say)
	default:
		n.Kind, n.Purpose = EntryBlock, word
		n.Name = questionBehind(word, rest, say)
	}
	if !screened {
		r.around = f.at
	}
	if word == "visitor" {
		r.panel = c.base + f.start
		defer func() { r.panel = 0 }()
	}
	inner, _ := r.read(c.source[f.start:f.end], c.base+f.start, c.pc)
	n.Children = inner.Children
	r.parted(n, c)
	if n.Kind == MachineSteps && len(n.Children) > 0 && !(len(n.Children) == 1 && n.Children[0].Kind == List && n.Children[0].Ordered) {
		say("the steps at the machine are one numbered list, and nothing else", "begin each step with its number, such as 1., and let all else stand before or behind the block")
	}
	if len(n.Children) == 0 && word != "caution" { // a caution may have nothing to add to what the house says
		say(fmt.Sprintf("the %q block is empty", word), "write its text, or take it out")
	} else if word == "talk" {
		r.talk(n, c)
	}
	return n
}

// parted checks that a panel has one guess at most, and something below it.
func (r *reading) parted(panel *Node, c *converter) {
	_, guess, below := panel.Guess()
	if guess == nil {
		return
	}
	for _, n := range below {
		if n.Kind == GuessBlock {
			c.say(n.Offset-c.base, "block", "a second guess stands in this panel", "make a second panel for it")
			return
		}
	}
	if len(below) == 0 {
		c.say(guess.Offset-c.base, "block", "nothing stands below this guess, so a visitor who has guessed finds nothing out",
			"write below it what is to be seen after the guess; what is seen before stands above it")
	}
}

// purpose reads what follows an info word that may be followed by one word.
func purpose(word string, rest, known []string, say func(text, hint string)) string {
	if len(rest) == 0 {
		return ""
	}
	if len(rest) > 1 || !slices.Contains(known, rest[0]) {
		all := strings.Join(known, ", ")
		hint := suggest(rest[0], known)
		if !strings.HasSuffix(hint, all) {
			hint += " It is one of: " + all
		}
		say(fmt.Sprintf("%q stands behind the info word %q, which does not know it", strings.Join(rest, " "), word), hint)
		return ""
	}
	return rest[0]
}

// hazardBehind reads the hazard behind the info word of a caution or a talk.
func hazardBehind(word string, rest []string, say func(text, hint string)) string {
	if len(rest) == 0 {
		say(fmt.Sprintf("a %s names its hazard", word), fmt.Sprintf("write, for example: %s %s", word, hazards[0]))
		return ""
	}
	hazard := rest[0]
	switch {
	case !slices.Contains(hazards[:], hazard):
		say(fmt.Sprintf("there is no hazard %q", hazard), suggest(hazard, hazards[:]))
	case len(rest) > 1:
		say(fmt.Sprintf("a %s names its hazard alone, and %q stands behind it", word, strings.Join(rest[1:], " ")),
			fmt.Sprintf("leave it out; the signal word of a hazard stands in house.toml, below [%s]", hazard))
	}
	return hazard
}

// day reads when it is the turn of steps at the machine, or of what stops them.
func (r *reading) day(n *Node, word string, words []string, say func(text, hint string)) {
	switch {
	case len(words) == 0:
		say(fmt.Sprintf("the %q block does not say when in a day at the machine it is its turn", word), fmt.Sprintf("write, for example: %s %s", word, days[0]))
	case !slices.Contains(days[:], words[0]):
		say(fmt.Sprintf("a day at the machine has no time %q", words[0]), suggest(words[0], days[:]))
	case len(words) > 1:
		say(fmt.Sprintf("the %q block names one time of the day, and %q stands behind it", word, strings.Join(words[1:], " ")), "make a block for each")
	}
	if len(words) > 0 {
		n.Day = words[0]
	}
}

// nearMiss warns of an info word that looks like a misspelled role.
func (r *reading) nearMiss(f fenced, c *converter) {
	word := f.words[0]
	near := ""
	switch {
	case !r.entry && (strings.EqualFold(word, "go") || strings.EqualFold(word, "golang")):
		near = "go"
	case len(word) > 4:
		near = diag.Nearest(word, r.roles())
	}
	if near != "" && near != word {
		r.say(c.base+f.at, diag.Warning, "info-word",
			fmt.Sprintf("the info word %q has no role, so this block is shown as code", word),
			fmt.Sprintf("did you mean %q?", near))
	}
}

// suggest makes a hint out of the word that was probably meant, or of all.
func suggest(word string, known []string) string {
	if near := diag.Nearest(word, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return "it is one of: " + strings.Join(known, ", ")
}
