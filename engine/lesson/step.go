package lesson

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/diag"
)

// stages lists what follows the info word "step": which part of the set a step
// of commissioning is about, from one end to the other.
var stages = [...]string{"isolation", "insulation", "battery", "control", "motor", "governor", "generator", "regulator", "tones", "lines"}

// Stages lists the parts of commissioning, in their order.
func Stages() []string { return stages[:] }

// Step is one act of commissioning: what is done, where and with what it is
// read, what to expect, and what to do where it is not so. It holds no number
// itself: it names the told value that is expected.
type Step struct {
	Stage string // one of Stages

	Do    *Node // a QuestionText, as all but Otherwise
	Where *Node
	With  *Node // the instrument; nil where nothing is read
	See   *Node // what is seen, heard or felt where nothing is read; or else nil
	Signs *Node

	Otherwise *Node // a QuestionNote

	// Of a step at which something is read: the told value, the unit in which it
	// is read ("" for that in which it was told), and how far off it may be.
	Expect Reference
	Unit   Reference
	Within Tolerance
	Side   Side

	Hazards []Reference // what the lesson has to declare
}

// Side says which readings are as expected.
type Side int

const (
	Around Side = iota // those near the value
	Least              // the value and all above
	Most               // the value and all below
)

// sides are what within says in the place of a tolerance.
var sides = map[string]Side{"or more": Least, "or less": Most}

func (s *Step) relocate(o original) {
	for _, at := range []*int{&s.Expect.At, &s.Unit.At, &s.Within.At} {
		*at = o.at(*at)
	}
	for i := range s.Hazards {
		s.Hazards[i].At = o.at(s.Hazards[i].At)
	}
}

const withinForm = `say how far off a reading may be, such as within = "5 %" or within = "0.1 Hz", or that the value is a limit: within = "or more", within = "or less"`

var stepKeys = [...]string{"do", "where", "with", "expect", "within", "unit", "see", "otherwise", "signs", "hazards"}

// stepForms are examples of the keys that a step has to have.
var stepForms = map[string]string{
	"do":        `do = "Read the battery's voltage with the start switch open."`,
	"where":     `where = "At the two studs on the marble panel."`,
	"with":      `with = "A direct-current voltmeter."`,
	"within":    `within = "5 %"`,
	"otherwise": `otherwise = "Stop, and look for a weak cell."`,
	"signs":     `signs = "The licensed person."`,
}

// step reads the block of a step.
func (r *reading) step(n *Node, f fenced, c *converter, words []string, say func(text, hint string)) {
	s := &Step{}
	n.Kind, n.Step = StepBlock, s
	switch {
	case len(words) == 0:
		say("the step does not say which part of the set it is about", "write, for example: step battery; it is one of: "+strings.Join(stages[:], ", "))
	case !slices.Contains(stages[:], words[0]):
		say(fmt.Sprintf("no step is about %q", words[0]), suggest(words[0], stages[:]))
	case len(words) > 1:
		say(fmt.Sprintf("a step is about one part of the set, and %q stands behind it", strings.Join(words[1:], " ")), "make a step for each")
	default:
		s.Stage = words[0]
	}
	reader := stepReader{newTextReader(r, n, f, c, "step"), s}
	source := c.source[f.start:f.end]
	tables, problem, at := readTOML(source)
	if problem != "" {
		text, hint := diag.TOMLSlip(source, at)
		if text == "" {
			text, hint = "the step is not TOML: "+problem, "write one fact a line, texts in quotation marks, such as "+stepForms["do"]
		}
		reader.fail(at, text, hint)
		return
	}
	if len(tables) > 1 {
		reader.fail(tables[1].at, fmt.Sprintf("a step has no table %q", tables[1].name), "make a step of its own of it, in a block of its own")
		return
	}
	reader.read(tables[0].keys)
	slices.SortFunc(n.Children, func(a, b *Node) int { return a.Offset - b.Offset })
}

type stepReader struct {
	textReader
	step *Step
}

func (r *stepReader) read(keys []tomlKey) {
	s := r.step
	seen := map[string]bool{}
	for _, k := range keys {
		seen[k.name] = true
		switch {
		case !slices.Contains(stepKeys[:], k.name):
			r.fail(k.at, fmt.Sprintf("a step has no key %q", k.name), suggest(k.name, stepKeys[:]))
			continue
		case k.name == "hazards":
			r.hazards(k)
			continue
		case !r.word(k):
			continue
		}
		switch k.name {
		case "do":
			s.Do = r.line(k)
		case "where":
			s.Where = r.line(k)
		case "with":
			s.With = r.line(k)
		case "see":
			s.See = r.line(k)
		case "signs":
			s.Signs = r.line(k)
		case "otherwise":
			s.Otherwise = r.note(k)
		case "expect":
			s.Expect = r.reference(k)
		case "unit":
			s.Unit = r.reference(k)
		case "within":
			if side, ok := sides[strings.Join(strings.Fields(k.text), " ")]; ok {
				s.Side, s.Within.At = side, r.reference(k).At
			} else {
				s.Within = r.within(k, withinForm)
			}
		}
	}
	if r.failed { // one finding at a time
		return
	}
	fence := r.fence - r.start
	need := []string{"do", "where", "otherwise", "signs"}
	switch {
	case seen["expect"] && seen["see"]:
		r.fail(fence, "the step has both a reading to expect and something to see", "make two steps of it")
		return
	case !seen["expect"] && !seen["see"]:
		r.fail(fence, "the step does not say what to expect", `name the told value that is read, with expect = "NAME"; where nothing is read, write what is seen, heard or felt, with see = "..."`)
		return
	case seen["expect"]:
		need = append(need, "with", "within")
	case seen["within"] || seen["unit"]:
		r.fail(fence, "the step has a tolerance or a unit, but no value", `name the told value, with expect = "NAME"`)
		return
	}
	for _, key := range need {
		if !seen[key] {
			r.fail(fence, fmt.Sprintf("the step needs the key %q", key), "for example: "+stepForms[key])
			return
		}
	}
}

func (r *stepReader) hazards(k tomlKey) {
	const form = `for example: hazards = ["voltage"]`
	if !k.isList {
		r.fail(k.valueAt, "hazards is a list of words in quotation marks", form)
		return
	}
	for _, entry := range k.list {
		switch name := r.reference(entry); {
		case !entry.word:
			r.fail(entry.valueAt, "hazards is a list of words in quotation marks", form)
		case !slices.Contains(hazards[:], name.Name):
			r.fail(entry.valueAt, fmt.Sprintf("there is no hazard %q", name.Name), suggest(name.Name, hazards[:]))
		case slices.ContainsFunc(r.step.Hazards, func(had Reference) bool { return had.Name == name.Name }):
			r.fail(entry.valueAt, fmt.Sprintf("%q stands twice in hazards", name.Name), "leave one out")
		default:
			r.step.Hazards = append(r.step.Hazards, name)
		}
	}
}
