package lesson

import (
	"fmt"
	"strings"
)

// labelTable heads a label in a translation.
const labelTable = "label"

const labelForm = `for example:
[[label]]
told = "speed"
reads = "vitesse"`

// label reads one [[label]].
func (r *factReader) label(t tomlTable) {
	l := Label{Offset: r.text.at(r.base + t.at)}
	for _, k := range t.keys {
		switch {
		case k.name != "told" && k.name != "reads":
			r.say(k.at, fmt.Sprintf("a label has no key %q", k.name), suggest(k.name, []string{"told", "reads"}))
			return
		case !k.word || strings.TrimSpace(k.text) == "":
			r.say(k.valueAt, k.name+" is text in quotation marks, and not empty", fmt.Sprintf("for example: %s = \"...\"", k.name))
			return
		case hiddenIn(k.text) != "":
			r.say(k.valueAt, hiddenIn(k.text), hiddenHint)
			return
		case k.name == "told":
			l.Told = strings.TrimSpace(k.text)
		default:
			l.Reads = strings.TrimSpace(k.text)
		}
	}
	if l.Told == "" || l.Reads == "" {
		r.say(t.at, "a label says how it was told and what it reads", labelForm)
		return
	}
	for _, had := range r.facts.Labels {
		if had.Told == l.Told {
			r.say(t.at, fmt.Sprintf("the label %q stands here twice", l.Told), "leave one out")
			return
		}
	}
	r.facts.Labels = append(r.facts.Labels, l)
}
