package child

import (
	"fmt"
	"reflect"
	"slices"

	"slipring/engine/diag"
	"slipring/engine/machine"
	"slipring/engine/tell"
)

// validate holds a result that was read back against the rules of the sheet
// that it must have come from, by telling it to a new one. Numbers are finite
// already, because JSON has no others.
func validate(r tell.Result, cards []machine.Card, limits Limits) (err error) {
	defer func() {
		switch p := recover().(type) {
		case nil:
		case tell.Misuse:
			err = p
		default:
			panic(p)
		}
	}()
	limits = limits.filled()
	s := limits.sheet()
	k := knobs{most: limits.Frames, steps: map[string]int{}}
	for _, knob := range r.Knobs {
		if err := k.add(s, knob); err != nil {
			return err
		}
	}
	for _, v := range r.Values {
		s.Value(v.Name, v.Number, v.Unit)
		if err := k.fit(v.Name, v.Framed, len(v.Frames)); err != nil {
			return err
		}
		if len(v.Frames) > 0 && v.Frames[v.Start(r.Knobs)] != v.Number {
			return fmt.Errorf("value %q is another at the start of its knobs", v.Name)
		}
		if err := doubts(v, r.Knobs); err != nil {
			return err
		}
	}
	for _, c := range r.Claims {
		s.Claim(c.Name, c.Holds)
		if err := readable(c); err != nil {
			return err
		}
		if err := k.fit(c.Name, c.Framed, len(c.Frames)); err != nil {
			return err
		}
		if len(c.Frames) > 0 && c.Holds == slices.Contains(c.Frames, false) {
			return fmt.Errorf("claim %q holds in other frames than it says", c.Name)
		}
	}
	for _, f := range r.Figures {
		s.Figure(f)
		if err := k.fit(f.Name, f.Framed, len(f.Frames)); err != nil {
			return err
		}
		for _, panes := range f.Frames {
			limits.sheet().Figure(tell.Figure{Name: f.Name, Panes: panes})
			if !tell.SameForm(f.Panes, panes) {
				return fmt.Errorf("figure %q has frames of different make", f.Name)
			}
		}
		if len(f.Frames) > 0 && !reflect.DeepEqual(f.Frames[f.Start(r.Knobs)], f.Panes) {
			return fmt.Errorf("figure %q is another at the start of its knobs", f.Name)
		}
	}
	for _, t := range r.Tables {
		s.Table(t)
		if err := k.fit(t.Name, t.Framed, len(t.Frames)); err != nil {
			return err
		}
		for _, rows := range t.Frames {
			limits.sheet().Table(tell.Table{Name: t.Name, Columns: t.Columns, Rows: rows})
			if len(rows) != len(t.Rows) {
				return fmt.Errorf("table %q has frames of different length", t.Name)
			}
		}
		if len(t.Frames) > 0 && !reflect.DeepEqual(t.Frames[t.Start(r.Knobs)], t.Rows) {
			return fmt.Errorf("table %q is another at the start of its knobs", t.Name)
		}
	}
	for _, m := range r.Motions {
		s.Motion(m.Name, m.Signals, m.Sizes...)
		if told := s.Result().Motions; told[len(told)-1].Mechanism != m.Mechanism {
			return fmt.Errorf("motion %q shows %q", m.Name, m.Mechanism)
		}
	}
	for _, f := range r.Finders {
		s.Finder(f.Name, f.Root)
	}
	for _, d := range r.Schematics {
		s.Schematic(d.Name, d)
	}
	for _, d := range r.Strips {
		s.Strips(d.Name, d)
	}
	for _, b := range r.Boards {
		s.Board(b.Name, b.Parts, b.States...)
	}
	if err := k.sounds(s, r); err != nil {
		return err
	}
	return opened(r.Cards, cards)
}

// doubts checks the uncertainties of a value, which Value is not told.
func doubts(v tell.Value, knobs []tell.Knob) error {
	us := append([]float64{v.Uncertainty}, v.Uncertainties...)
	if slices.Min(us) < 0 || v.Uncertainties != nil && len(v.Uncertainties) != len(v.Frames) {
		return fmt.Errorf("value %q has impossible uncertainties", v.Name)
	}
	if len(v.Frames) > 0 && v.Uncertainty != 0 && (v.Uncertainties == nil || v.Uncertainties[v.Start(knobs)] != v.Uncertainty) {
		return fmt.Errorf("the uncertainty of value %q is another at the start of its knobs", v.Name)
	}
	return nil
}

// readable checks the words of a claim, which Claim is not told. Found goes into
// a message.
func readable(c tell.Claim) error {
	words := []string{c.Found}
	for _, l := range c.Limits {
		words = append(words, l.Unit)
	}
	for _, w := range words {
		if at, what := diag.Hidden([]byte(w)); at >= 0 {
			return fmt.Errorf("in the words of claim %q %s", c.Name, what)
		}
	}
	return nil
}

// knobs is the number of positions of each knob, and how many frames they may
// make.
type knobs struct {
	steps map[string]int
	most  int
}

func (k knobs) add(s *tell.Sheet, knob tell.Knob) error {
	n := len(knob.Positions)
	if knob.Start < 0 || knob.Start >= n {
		return fmt.Errorf("knob %q starts nowhere", knob.Name)
	}
	s.Knob(knob.Name, tell.Range{
		From: knob.Positions[0], To: knob.Positions[n-1], Steps: n,
		Start: knob.Positions[knob.Start], Unit: knob.Unit, Label: knob.Label,
	}, func(float64) {})
	told := s.Result().Knobs
	if last := told[len(told)-1]; !slices.Equal(last.Positions, knob.Positions) || last.Start != knob.Start {
		return fmt.Errorf("knob %q has uneven steps", knob.Name)
	}
	k.steps[knob.Name] = n
	return nil
}

// fit checks that something has one frame for each position of its knobs.
func (k knobs) fit(name string, f tell.Framed, frames int) error {
	want := min(len(f.Knobs), 1)
	for i, knob := range f.Knobs {
		if k.steps[knob] == 0 || i > 1 || slices.Contains(f.Knobs[:i], knob) {
			return fmt.Errorf("%q is told under %q", name, f.Knobs)
		}
		want *= k.steps[knob]
	}
	if frames != want || frames > k.most {
		return fmt.Errorf("%q has %d frames under %q", name, frames, f.Knobs)
	}
	return nil
}

// opened checks that each of the named cards was there, and is named once.
func opened(names []string, cards []machine.Card) error {
	for i, name := range names {
		there := slices.ContainsFunc(cards, func(c machine.Card) bool { return c.Name == name })
		if !there || slices.Contains(names[:i], name) {
			return fmt.Errorf("the card %q was not on the shelf, or is named twice", name)
		}
	}
	return nil
}
