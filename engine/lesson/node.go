package lesson

import "slices"

// Kind says what a Node is.
type Kind int

// Kinds of block, then kinds of inline. What a Node's other fields mean for
// each kind is said beside it.
const (
	Document      Kind = iota // Children: blocks
	Heading                   // Level 1-6; ID for links
	Paragraph                 // Children: inlines
	ThematicBreak             //
	List                      // Ordered, Start, Tight; Children: ListItem
	ListItem                  // Children: blocks
	BlockQuote                // Children: blocks
	CodeBlock                 // Info, Text (a code block without a role)
	HTMLBlock                 // Text: the author's raw HTML, which pages escape
	CellBlock                 // Cell: index into Lesson.Cells
	Caution                   // Hazard; Children: blocks, or none
	VisitorPanel              // Purpose: "screen" where no sheet has it; Children: blocks
	TalkingPoint              // Purpose; Children: blocks ("docent" in a lesson)
	TeacherBlock              // Purpose; Children: blocks ("teacher" in a lesson)
	ScreenBlock               // within a visitor panel, what only a screen can do; Children: blocks
	MachineSteps              // Day; Children: one ordered List ("machine" in a lesson)
	MachineLimit              // Day; Children: blocks ("limit" in a lesson): what says stop
	StepBlock                 // Step; Children: its texts and notes, in the order of the file
	TalkBlock                 // Hazard; Children: blocks (see Talk)
	EntryBlock                // Purpose: one of EntryPurposes; Name of what is asked or answered; Children: blocks (in an entry of the logbook)
	QuestionBlock             // Question; Children: its texts and notes, in the order of the file
	GuessBlock                // the same, in a visitor panel: what stands below it shows once the visitor has guessed
	QuestionText              // what a question asks, an option's words, or a line of a step; Children: inlines
	QuestionNote              // the reasoning shown after an answer, or what to do where a step is not so; Children: blocks
	Embed                     // a figure on its own: EmbedKind, Name; Alt: Children

	Text     // Text, with escapes and character references resolved
	Emphasis // Children
	Strong   // Children
	CodeSpan // Text
	SoftBreak
	HardBreak
	Link    // Destination, Title; Children
	Image   // Destination, Title; Children: alternative text (in plain Markdown, and in an entry of the logbook)
	RawHTML // Text: the author's raw HTML, which pages escape
	Bound   // a quote or a claim: Name; Text as written; Children: inlines as written
	Insert  // a number in braces: Name; Text and Children as with Bound, or none for {name}

	Formula // Display: a block, or else inline; Text: TeX
)

// Node is one element of a lesson's text. Offset and End are byte offsets in
// the lesson file of what the node shows: for a Bound node exactly the bytes
// between its first square brackets, for an Insert those of the number as
// written or else of the name, for a Formula those from its TeX on.
type Node struct {
	Kind     Kind
	Offset   int
	End      int
	Children []*Node

	Text        string
	Level       int
	ID          string
	Ordered     bool
	Start       int
	Tight       bool
	Info        string
	Cell        int
	Purpose     string // of a panel, "" or "screen"; of a talking point, "" or one of TalkingPurposes; of a block for teachers, one of TeacherPurposes; of a block of an entry, one of EntryPurposes
	Hazard      string // of a caution or a talk: rotating, voltage, battery, overspeed, dust, insulation
	Day         string // of steps at the machine and limits: one of Days
	EmbedKind   string // one of EmbedKinds
	Name        string
	Destination string // percent-encoded, as in an href attribute before HTML escaping
	Title       string // "" for none
	Display     bool
	Question    *Question
	Step        *Step

	stretches []stretch // of a formula whose lines do not follow each other in the file
}

// Guess parts a visitor panel at its guess: what a visitor sees at once, the
// guess itself, and what shows once the visitor has guessed. A panel without a
// guess shows all at once.
func (n *Node) Guess() (above []*Node, guess *Node, below []*Node) {
	for i, c := range n.Children {
		if c.Kind == GuessBlock {
			return n.Children[:i], c, n.Children[i+1:]
		}
	}
	return n.Children, nil, nil
}

// OnPaper gives the blocks of a panel as a sheet shows them: without the
// figures that stand in a block for the screen alone. What is heard stays: a
// sheet says so in words.
func OnPaper(blocks []*Node) []*Node {
	var out []*Node
	for _, n := range blocks {
		if n.Kind == ScreenBlock {
			words := *n
			words.Children = slices.DeleteFunc(slices.Clone(n.Children), func(c *Node) bool { return c.Kind == Embed && !EmbedKindOf(c.EmbedKind).Heard })
			if n = &words; len(words.Children) == 0 {
				continue
			}
		}
		out = append(out, n)
	}
	return out
}

// Elsewhere says whether a block stands on other pages than those of the course.
func (n *Node) Elsewhere() bool {
	return n.Kind == VisitorPanel || n.Kind == TalkingPoint || n.Kind == TalkBlock || n.Kind == TeacherBlock
}

// Walk calls visit for n and all below it, in document order, while visit
// says to go on below a node.
func (n *Node) Walk(visit func(*Node) bool) {
	if !visit(n) {
		return
	}
	for _, c := range n.Children {
		c.Walk(visit)
	}
}
