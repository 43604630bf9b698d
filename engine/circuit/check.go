package circuit

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"slipring/engine/diag"
)

const contactHint = `write its marks with a dash: "13-14" makes, "11-12" breaks, "11-12-14" changes over`

var nameForm = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9-]*$`)

// mostTerminals bounds a strip, and mostParts and mostWires a wiring, which is
// solved as often as anything moves.
const (
	mostTerminals = 500
	mostParts     = 500
	mostWires     = 2000
)

// trial is how long, in s, each key is tried.
const trial = 20

// Check lists what is wrong with a wiring: parts and wires as they are written
// first; when nothing is wrong with these, parts that float, with which the wiring
// works all the same, and what shows when each key is pressed on a board whose
// sets stand still.
func (w Wiring) Check() (flaws []Flaw) {
	flaws = w.CheckParts()
	if len(w.Parts) > mostParts || len(w.Wires) > mostWires {
		flaws = append(flaws, Flaw{Reason: fmt.Sprintf("the wiring has %d parts and %d wires, more than the %d and %d that are solved", len(w.Parts), len(w.Wires), mostParts, mostWires), Next: "keep the part of it that lessons need"})
	}
	flaws = append(flaws, w.CheckWires()...)
	if len(flaws) > 0 {
		return flaws
	}
	return append(w.floating(), w.try()...)
}

// CheckParts lists what is wrong with the parts as they are written, without a
// look at the wires.
func (w Wiring) CheckParts() (flaws []Flaw) {
	for i := range w.Parts {
		flaws = append(flaws, w.checkPart(i)...)
	}
	return flaws
}

// NoTerminal says why a name is no terminal of the wiring, as a Flaw; nil when it
// is one.
func (w Wiring) NoTerminal(name string) error { return w.noTerminal(name) }

func (w Wiring) checkPart(i int) (flaws []Flaw) {
	p := w.Parts[i]
	add := func(key, reason, next string) {
		flaws = append(flaws, Flaw{Parts: []string{p.Name}, Key: key, Reason: reason, Next: next})
	}
	if !nameForm.MatchString(p.Name) {
		add("", fmt.Sprintf("%q cannot be the name of a part", p.Name), "use letters, digits and dashes, such as K1")
	}
	if at := w.part(p.Name); at < i {
		add("", fmt.Sprintf("the part %s stands twice", p.Name), "give one of the two another name")
	}
	k, ok := kindOf(p.Kind)
	if !ok {
		names, _ := Kinds()
		add("kind", fmt.Sprintf("%q is no kind of part", p.Kind), near(p.Kind, names, "known kinds are: "))
		return flaws
	}
	for _, d := range k.values {
		v, ok := p.Values[d.Key]
		if !ok {
			add("", fmt.Sprintf("%s has no %s: %s", p.called(), d.Key, d.Doc), fmt.Sprintf(`write %s = { value = ..., unit = %q, from = "assumed" }`, d.Key, d.SIUnit))
		} else if !d.Bounds.Allows(v.SI) {
			add(d.Key, fmt.Sprintf("%s of %s cannot be %g %s", d.Key, p.called(), v.SI, d.SIUnit), "give a number above zero")
		}
	}
	if up, ok := p.Values["pick-up"]; ok {
		if down, ok := p.Values["release"]; ok && down.SI >= up.SI {
			add("release", fmt.Sprintf("%s would fall back at %g, and operates at %g", p.called(), down.SI, up.SI), "let it fall back at less")
		}
	}
	if low, ok := p.Values["lowest-frequency"]; ok && p.Values["highest-frequency"].SI < low.SI {
		add("highest-frequency", fmt.Sprintf("the band of %s ends below where it begins", p.called()), "give the lower end as lowest-frequency")
	}
	if len(p.Contacts) > 0 && !k.moves {
		add("contacts", fmt.Sprintf("%s has no contacts", p.called()), "leave them out, or make it a relay, a key or a fuse")
	} else if len(p.Contacts) == 0 && k.needs {
		add("", fmt.Sprintf("%s has no contact", p.called()), `write contacts = ["13-14"]`)
	} else if _, err := p.Marks(); err != nil {
		add("contacts", fmt.Sprintf("%s: %v", p.called(), err), contactHint)
	}
	if p.Kind == "strip" && (p.Terminals < 1 || p.Terminals > mostTerminals) {
		add("terminals", fmt.Sprintf("a strip cannot have %d terminals", p.Terminals), fmt.Sprintf("write terminals = with a number from 1 to %d", mostTerminals))
	} else if p.Kind != "strip" && p.Terminals != 0 {
		add("terminals", fmt.Sprintf("%s has the terminals that each %s has", p.called(), p.Kind), "leave terminals out")
	}
	if p.Kind == "set" && p.Card == "" {
		add("", fmt.Sprintf("%s does not say which set it is", p.called()), `write card = with the name of its machine card`)
	}
	if p.Kind == "lamp" && p.Text == "" {
		add("", fmt.Sprintf("%s does not say what it tells", p.called()), `write text = "..."`)
	}
	if p.Kind == "lamp" && !slices.Contains(Colours(), p.Colour) {
		add("colour", fmt.Sprintf("%s cannot be %q", p.called(), p.Colour), near(p.Colour, Colours(), "colours of lamps are: "))
	}
	return flaws
}

// Colours lists those that IEC 60073 knows for lamps.
func Colours() []string { return []string{"red", "yellow", "green", "blue", "white"} }

func near(word string, known []string, otherwise string) string {
	if n := diag.Nearest(word, known); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	return otherwise + strings.Join(known, ", ")
}

// CheckWires lists what is wrong with each wire by itself.
func (w Wiring) CheckWires() (flaws []Flaw) {
	type pair struct{ a, b string }
	names, pairs, rows := map[string]bool{}, map[pair]string{}, map[string]int{}
	for _, one := range w.Wires {
		rows[one.Name]++
		add := func(reason, next string) {
			flaws = append(flaws, Flaw{Wire: one.Name, Row: rows[one.Name], Reason: reason, Next: next})
		}
		switch {
		case one.Name == "":
			add("a wire has no name", "give each wire its number, such as W17")
		case names[one.Name]:
			add(fmt.Sprintf("the wire %s stands twice", one.Name), "give one of the two another number, or take it out")
		}
		names[one.Name] = true
		for _, end := range []string{one.From, one.To} {
			if f, ok := w.noTerminal(end).(Flaw); ok {
				add(f.Reason, f.Next)
			}
		}
		p := pair{min(one.From, one.To), max(one.From, one.To)}
		if one.From == one.To {
			add(fmt.Sprintf("the wire %s leads from %s to itself", one.Name, one.From), "give its other end")
		} else if had, ok := pairs[p]; ok {
			add(fmt.Sprintf("the wire %s joins what %s joins already: %s and %s", one.Name, had, one.From, one.To), "take one of the two out")
		}
		pairs[p] = one.Name
	}
	return flaws
}

// noTerminal says why a name is no terminal; nil when it is one.
func (w Wiring) noTerminal(name string) error {
	part, mark := split(name)
	i := w.part(part)
	if i < 0 {
		var all []string
		for _, p := range w.Parts {
			all = append(all, p.Name)
		}
		hint := "write PART.MARK, such as TS2.14, with a part of parts.toml"
		if n := diag.Nearest(part, all); n != "" && part != "" {
			hint = fmt.Sprintf("did you mean %q?", n+"."+mark)
		}
		return Flaw{Reason: fmt.Sprintf("no part has the terminal %q: there is no part %q", name, part), Next: hint}
	}
	marks, err := w.Parts[i].Marks()
	if err != nil || slices.Contains(marks, mark) {
		return nil // a flaw of the part is reported with it
	}
	has := list(marks)
	if n := len(marks); n > 12 {
		has = fmt.Sprintf("%s to %s", marks[0], marks[n-1])
	}
	return Flaw{Parts: []string{part}, Reason: fmt.Sprintf("no part has the terminal %q: %s has none of that mark", name, w.Parts[i].called()), Next: fmt.Sprintf("it has %s", has)}
}

// floating finds parts that no source could feed if every contact were closed.
func (w Wiring) floating() []Flaw {
	wired := map[string]bool{}
	for _, one := range w.Wires {
		wired[one.From], wired[one.To] = true, true
	}
	var flaws []Flaw
	for _, p := range w.Parts {
		k, _ := kindOf(p.Kind)
		for _, m := range k.marks {
			if !wired[p.Name+"."+m] {
				flaws = append(flaws, Flaw{Parts: []string{p.Name}, Reason: fmt.Sprintf("%s floats: no wire ends at its terminal %s", p.called(), m), Next: fmt.Sprintf("wire it, or take %s out", p.Name), Works: true})
			}
		}
	}
	if len(flaws) > 0 {
		return flaws
	}
	b, err := w.laid()
	if err != nil {
		return nil // try says why
	}
	n := &b.net
	n.alone()
	for _, j := range n.joints {
		n.unite(j.a, j.b)
	}
	for _, one := range n.branches {
		n.unite(one.a, one.b)
	}
	fed := map[int]bool{}
	for _, one := range n.branches {
		if one.source {
			fed[n.find(one.a)] = true
		}
	}
	var names []string
	for _, one := range n.branches {
		if name := w.Parts[one.part].Name; !fed[n.find(one.a)] && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	switch len(names) {
	case 0:
		return nil
	case 1:
		return []Flaw{{Parts: names, Reason: names[0] + " floats: no source feeds it, even with every contact closed", Next: "wire it to what a source feeds, or take it out", Works: true}}
	}
	return []Flaw{{Parts: names, Reason: list(names) + " float: no source feeds them, even with every contact closed", Next: "wire them to what a source feeds, or take them out", Works: true}}
}

// try puts the wiring to work, and presses each key.
func (w Wiring) try() []Flaw {
	spent := 0.0
	one := func(press string) error {
		b, err := New(w)
		if b != nil {
			defer func() { spent += b.net.spent }()
		}
		if err == nil {
			err = b.AdvanceTo(trial)
		}
		if err == nil && press != "" {
			if err = b.Press(press); err == nil {
				err = b.AdvanceTo(2 * trial)
			}
		}
		return err
	}
	keys := []string{""}
	for _, p := range w.Parts {
		if p.Kind == "key" || p.Kind == "contact" {
			keys = append(keys, p.Name)
		}
	}
	for _, press := range keys {
		if spent > mostSpent { // so large a board is not tried further
			break
		}
		err := one(press)
		if err == nil {
			continue
		}
		f, ok := err.(Flaw)
		if !ok {
			f = Flaw{Reason: err.Error()}
		}
		if press != "" {
			f.Reason += fmt.Sprintf(", with %s pressed", press)
		}
		return []Flaw{f} // what else shows may follow from it
	}
	return nil
}
