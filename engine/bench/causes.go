package bench

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"slipring/engine/circuit"
	"slipring/engine/machine"
	"slipring/engine/tell"
)

// Cause is something that lights a lamp of a wiring when it would be dark.
type Cause struct {
	Name     string // such as "W58 open", "ring brush lifted" or "changeover turned"
	Sentence string // in plain words
	// From is the time in s, counted from the beginning, from which the lamp is lit
	// for half a second or more while it would be dark.
	From float64
}

// Causes gives what lights a lamp, one cause at a time: each fault of the wiring
// and of its sets, a battery run down, and each key turned that stays where it is
// put. Each is there from the beginning, and then all is done to the wiring that
// was done to this one. A lamp that is lit all the same has no cause.
//
//	bench.Wiring().Press("start").At(9).Causes("H1")
func (w *Wiring) Causes(lamp string) (out []Cause) {
	if p, ok := w.shelf.wiring.Part(lamp); !ok || p.Kind != "lamp" {
		panic(tell.Misuse{Text: fmt.Sprintf("no lamp is called %q", lamp), Hint: "name a lamp of wiring/parts.toml"})
	}
	all := w.tried()
	sound := all[0].Lit[lamp]
	for _, t := range all[1:] {
		for _, s := range t.Lit[lamp] {
			if from, ok := s.beside(sound); ok {
				out = append(out, Cause{t.Name, t.Sentence, from})
				break
			}
		}
	}
	return out
}

// glance is for how long, in s, a lamp has to be lit to be seen.
const glance = 0.5

// spell is a time in s for which a lamp is lit.
type spell struct{ From, To float64 }

// beside gives from when on a spell lies in none of others for a glance or more;
// these stand in the order of their times.
func (s spell) beside(others []spell) (float64, bool) {
	for _, o := range others {
		if o.To <= s.From {
			continue
		}
		if min(o.From, s.To)-s.From >= glance {
			return s.From, true
		}
		s.From = o.To
	}
	return s.From, s.To-s.From >= glance
}

// tried is what was seen of a board with something wrong, or with nothing.
type tried struct {
	Name, Sentence string
	Stopped        string // why the board could not be watched until the end
	Lit            map[string][]spell
}

// trial is something that goes wrong with a board, from the beginning.
type trial struct {
	name, sentence string
	do             func(b *circuit.Board) error
	ill            []machine.Change
	other          *circuit.Wiring

	often  float64        // how often it is so, beside a wire that is open
	turned bool           // it is no fault: a key is turned
	fault  machine.Action // of a set
	of     string         // that set
}

// runDown is the part of its voltage that a battery that is run down has lost:
// 24 lead cells at 1.75 V instead of 2 V each (common practice, no source).
const runDown = 0.125

// trials lists them; the first is nothing.
func (w *Wiring) trials() []trial {
	house := *w.shelf.wiring
	all := []trial{{often: oftenNothing}}
	for _, f := range house.Faults() {
		all = append(all, trial{name: f.Name(), sentence: f.Sentence, often: often(f.What), do: func(b *circuit.Board) error { return b.Fail(f) }})
	}
	for _, p := range house.Parts {
		switch {
		case p.Kind == "key" && p.Stays:
			all = append(all, trial{name: p.Name + " turned", turned: true, sentence: fmt.Sprintf("The key %s is turned.", p.Name), do: func(b *circuit.Board) error { return b.Press(p.Name) }})
		case p.Kind == "battery":
			v := p.Values["voltage"].SI * runDown
			all = append(all, trial{name: p.Name + " run down", often: oftenIll, sentence: fmt.Sprintf("The battery %s is run down by an eighth of its voltage.", p.Name),
				other: with(house, p.Name, -v, 0), ill: []machine.Change{{What: machine.SagBattery, Amount: v}}})
		}
	}
	sets, _ := w.sets()
	for _, p := range house.Parts {
		if p.Kind != "set" {
			continue
		}
		set := w.shelf.Open(p.Card)
		for _, f := range machine.Faults() {
			c := machine.Change{What: f.Action}
			if f.Action == machine.ChangeLeaf {
				c.Amount = slack
			}
			sim, err := machine.New(set.card, set.how, w.load)
			if err != nil || sim.Plan(c) != nil {
				continue // a fault of a part that the set has not
			}
			t := trial{name: f.Name, sentence: f.Sentence, ill: []machine.Change{c}, often: oftenIll, fault: f.Action, of: p.Name}
			if len(sets) > 1 {
				t.name += ", " + p.Name
			}
			if f.Action == machine.BadCell {
				cell := part[machine.Battery](set, "battery")
				v := cell.Voltage / cell.Cells
				// the joint is the wiring's, and stands before the motor
				t.other, t.ill = with(house, "", -v, machine.BadJoint), []machine.Change{{What: machine.SagBattery, Amount: v}}
			}
			all = append(all, t)
		}
	}
	return all
}

// often says how often a fault of a wiring is so.
func often(what circuit.FaultKind) float64 {
	switch what {
	case circuit.LampBurntOut:
		return oftenBurnt
	case circuit.FuseBlown:
		return oftenBlown
	case circuit.StuckUp, circuit.StuckReleased:
		return oftenStuck
	}
	return 1
}

// with gives a wiring whose battery has another voltage and another resistance;
// without a name, each has.
func with(house circuit.Wiring, battery string, volts, ohms float64) *circuit.Wiring {
	house.Parts = slices.Clone(house.Parts)
	for i, p := range house.Parts {
		if p.Kind != "battery" || battery != "" && battery != p.Name {
			continue
		}
		v := maps.Clone(p.Values)
		for key, more := range map[string]float64{"voltage": volts, "resistance": ohms} {
			x := v[key]
			x.SI += more
			v[key] = x
		}
		house.Parts[i].Values = v
	}
	return &house
}

// tried runs all trials, or recalls what was seen of them.
func (w *Wiring) tried() (out []tried) {
	key := "trials of " + w.keyOfAll()
	had, known := w.shelf.fresh[key]
	if !known {
		had = w.shelf.recalled[key]
	}
	if json.Unmarshal(had, &out) == nil && len(out) > 0 {
		return out
	}
	trials := w.trials()
	out = make([]tried, len(trials))
	w.attempts(trials, nil, func(i int, a attempt) { out[i] = saw(trials[i], a.board, a.err, w.now) })
	if content, err := json.Marshal(out); err == nil {
		w.shelf.fresh[key] = content
	}
	return out
}

// saw is what was seen of a board until a time.
func saw(t trial, b *circuit.Board, err error, until float64) tried {
	out := tried{Name: t.name, Sentence: t.sentence, Lit: map[string][]spell{}}
	if err != nil {
		out.Stopped = err.Error()
		until = b.Time()
	}
	events := b.Events()
	for _, l := range b.Seen().Lamps {
		lit, from := initially(events, l.Part, b) == 1, 0.0
		for _, e := range events {
			if e.Part != l.Part {
				continue
			}
			if lit && e.At > from {
				out.Lit[l.Part] = append(out.Lit[l.Part], spell{from, e.At})
			}
			lit, from = e.Is == circuit.Lit, e.At
		}
		if lit {
			out.Lit[l.Part] = append(out.Lit[l.Part], spell{from, until})
		}
	}
	return out
}

// keyOfAll names all that decides what is seen in trials.
func (w *Wiring) keyOfAll() string {
	content, err := json.Marshal(w.shelf.wiring)
	if err != nil {
		panic(misuse(err))
	}
	names, sets := w.sets()
	key := fmt.Sprintf("%x", sha256.Sum256(content))
	for _, name := range names {
		key += " | " + sets[name].key
	}
	key += fmt.Sprintf(" | %+v until %v s", w.load, w.now)
	for _, a := range w.acts {
		key += fmt.Sprintf(" | %v %s", a.at, a.what)
	}
	return key
}
