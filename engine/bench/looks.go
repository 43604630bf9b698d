package bench

import (
	"fmt"
	"math"

	"slipring/engine/circuit"
	"slipring/engine/dictionary"
	"slipring/engine/machine"
)

// What a look costs, beside one from the front; how surely it is read; and how
// often a fault is so, beside a wire that is open (all assumed: common practice,
// no source).
const (
	costOfEye, costOfClose, costOfOhms, costOfTouch, costOfVolts = 1, 1.5, 4, 4, 8

	later = 0.1 // more, for each moment: of looks that tell alike, the first

	sureOfEye, sureOfMeter = 0.98, 0.967

	oftenNothing, oftenBurnt, oftenBlown, oftenStuck, oftenIll = 10, 5, 3, 2, 2
)

// dictionary makes what a dictionary is made of.
func (w *Wiring) dictionary(moments []Moment) ([]dictionary.Fault, []dictionary.Look) {
	var trials []trial
	for _, t := range w.trials() {
		if t.turned {
			continue // a key that is turned is seen to be so
		}
		trials = append(trials, t)
	}
	d := w.watched(moments)
	seen := d.see(trials)
	var faults []dictionary.Fault
	for i, t := range trials {
		f := dictionary.Fault{Name: t.name, Sentence: t.sentence, Weight: t.often, Stop: seen[i].wild}
		if i == 0 {
			f.Name, f.Sentence = "nothing", "Nothing is wrong."
		}
		faults = append(faults, f)
	}
	l := looking{d, seen, nil}
	for k := range moments {
		l.front(k)
	}
	for k := range moments {
		l.closer(k)
	}
	l.off()
	l.inspect(trials)
	for k := range moments {
		l.behind(k)
	}
	return faults, l.looks
}

// looking puts together what there is to look at.
type looking struct {
	*watched
	seen  []sighting
	looks []dictionary.Look
}

// halted is the answer where a board went no further.
const halted = "the board buzzes, or has melted"

// add adds a look at a moment; answer says what it shows of a trial.
func (l *looking) add(k int, look dictionary.Look, answer func(g glimpse) string) {
	place := map[string]int{}
	for i, a := range look.Answers {
		place[a] = i
	}
	for _, s := range l.seen {
		a := halted
		if k < len(s.glimpses) {
			a = answer(s.glimpses[k])
		}
		o, ok := place[a]
		if !ok {
			o = len(look.Answers)
			place[a], look.Answers = o, append(look.Answers, a)
		}
		look.Shows = append(look.Shows, o)
	}
	if look.Stage == dictionary.Front {
		look.Cost += later * float64(k)
	}
	look.Ask = l.moments[k].When + ": " + look.Ask
	look.Name = l.moments[k].When + ": " + look.Name
	l.looks = append(l.looks, look)
}

// addReading adds a look at a meter at a moment.
func (l *looking) addReading(k int, look dictionary.Look, unit string, step float64, read func(g glimpse) float64, apart func(a, b float64) bool) {
	var all []float64
	for _, s := range l.seen {
		if k < len(s.glimpses) {
			all = append(all, read(s.glimpses[k]))
		}
	}
	place, answers := bins(all, apart, func(r [2]float64) string { return said(r, unit, step) })
	at := map[float64]int{}
	for i, x := range all {
		at[x] = place[i]
	}
	look.Answers = answers
	l.add(k, look, func(g glimpse) string { return look.Answers[at[read(g)]] })
}

func eye(name, ask string) dictionary.Look {
	return dictionary.Look{Name: name, Ask: ask, Cost: costOfEye, Sure: sureOfEye}
}

// front is what is seen and heard from the front at a moment.
func (l *looking) front(k int) {
	first := l.seen[0].glimpses[k]
	for i, lamp := range first.Lamps {
		look := eye(lamp.Part, fmt.Sprintf("lamp “%s” (%s): is it lit?", lamp.Text, lamp.Part))
		look.Answers = []string{"lit", "dim", "dark"}
		l.add(k, look, func(g glimpse) string {
			switch g.Lamps[i].Is {
			case circuit.Lit:
				return "lit"
			case circuit.Dim:
				return "dim"
			}
			return "dark"
		})
	}
	bells := eye("bell", "does the bell ring?")
	bells.Answers = []string{"it rings", "it is silent"}
	l.add(k, bells, func(g glimpse) string {
		if len(g.Bells) > 0 {
			return "it rings"
		}
		return "it is silent"
	})
	for i, m := range first.Meters {
		name := m.Part
		if m.Text != "" {
			name = fmt.Sprintf("“%s” (%s)", m.Text, m.Part)
		}
		l.addReading(k, eye(m.Part, "needle "+name+": where does it stand?"), m.Unit, m.Within,
			func(g glimpse) float64 { return g.Meters[i].Reads },
			func(a, b float64) bool { return b-a > 2*m.Within })
	}
	for i, name := range l.names {
		sound := first.hz[i]
		look := eye(name, fmt.Sprintf("the set (%s): how does it sound?", name))
		look.Hazard = "rotating"
		look.How = "Listen from outside the guard."
		look.Answers = []string{standsStill, "slower than it should", "as it should", "faster than it should"}
		l.add(k, look, func(g glimpse) string {
			switch x := g.hz[i]; {
			case x < turns && sound < turns:
				return "as it should"
			case x < turns:
				return standsStill
			case x < sound/semitone:
				return "slower than it should"
			case x > sound*semitone+turns:
				return "faster than it should"
			}
			return "as it should"
		})
	}
}

// turns is the speed, in turns a second, from which a shaft is seen to turn;
// semitone is a ratio of pitches that an ear without training hears beside the
// usual one (common practice, no source).
const (
	turns    = 0.5
	semitone = 1.06

	standsStill = "it stands still"
)

// closer is what is seen at a moment by somebody who looks closely.
func (l *looking) closer(k int) {
	for _, name := range l.movers {
		look := eye(name, fmt.Sprintf("relay %s: are its contacts up?", name))
		look.Cost, look.Answers = costOfClose, []string{"up", "down"}
		l.add(k, look, func(g glimpse) string {
			if g.up[name] {
				return "up"
			}
			return "down"
		})
	}
	for i, name := range l.names {
		contact := func(part string, share func(w working) float64) {
			if !l.sets[name].card.Has(part) || l.seen[0].glimpses[k].hz[i] < turns {
				return
			}
			look := eye(name+" "+part, fmt.Sprintf("the %s’s contact (%s): what does it do?", part, name))
			look.Cost, look.Hazard, look.How = costOfClose, "rotating", "Look at its spark from outside the guard."
			look.Answers = []string{"it opens and closes", "it stays closed", "it stays open"}
			l.add(k, look, func(g glimpse) string {
				switch x := share(g.works[i]); {
				case x > 0.99:
					return "it stays closed"
				case x < 0.01:
					return "it stays open"
				}
				return "it opens and closes"
			})
		}
		contact("governor", func(w working) float64 { return w.Governor })
		contact("regulator", func(w working) float64 { return w.Regulator })
	}
}

// behind is what is measured behind an open board with power on.
func (l *looking) behind(k int) {
	if !l.moments[k].Open {
		return
	}
	for i, p := range l.volts {
		sort := "direct voltage"
		if p.swings {
			sort = "alternating voltage"
		}
		look := dictionary.Look{
			Name: p.from + " to " + p.to, Ask: fmt.Sprintf("%s from %s to %s: how much?", sort, p.from, p.to),
			How:   "The board is open under power: this is for a licensed person, with a meter made for it. Nobody else is near.",
			Stage: dictionary.Live, Hazard: "voltage", Cost: costOfVolts, Sure: sureOfMeter,
		}
		l.addReading(k, look, "V", 0.1, func(g glimpse) float64 { return g.volts[i] },
			func(a, b float64) bool { return b-a > 0.03*max(math.Abs(a), math.Abs(b))+0.6 })
	}
}

const withPowerOff = "The set at rest, battery switch and charger locked open, both sides proved dead by a licensed person, with a tester made for it, tried on a known source before and after."

// off is what is measured and felt with all power off.
func (l *looking) off() {
	for i, p := range l.ohms {
		state := "All power off"
		if p.held != "" {
			state += fmt.Sprintf(", key “%s” held", p.held)
		}
		look := dictionary.Look{
			Name: state + ": " + p.ends[0] + " to " + p.ends[1], Ask: fmt.Sprintf("%s: how many ohms from %s to %s?", state, p.ends[0], p.ends[1]),
			How: withPowerOff, Stage: dictionary.Off, Hazard: "voltage", Cost: costOfOhms, Sure: sureOfMeter,
		}
		all := make([]float64, len(l.seen))
		for k, s := range l.seen {
			if all[k] = math.Inf(1); s.ohms != nil {
				all[k] = s.ohms[i]
			}
		}
		look.Shows, look.Answers = bins(all, func(a, b float64) bool { return b > 1.03*a+0.5 }, func(r [2]float64) string {
			if r[1] < 1 {
				return "less than 1 ohm"
			}
			return said(r, "ohm", 0)
		})
		l.looks = append(l.looks, look)
	}
	for _, name := range l.movers {
		l.touch(name, fmt.Sprintf("can a finger move the contacts of %s?", name), "they move", "they stick")
	}
	for _, name := range l.lamps {
		l.touch(name, fmt.Sprintf("lamp %s taken out: does a tester sound across it?", name), "it sounds", "it is silent")
	}
}

// touch adds a look at one part with all power off, which is sound or is not.
func (l *looking) touch(name, ask, sound, other string) {
	look := dictionary.Look{
		Name: "All power off: " + name, Ask: "All power off: " + ask,
		How: withPowerOff, Stage: dictionary.Off, Hazard: "voltage", Cost: costOfTouch, Sure: sureOfEye, Answers: []string{sound, other},
	}
	for _, s := range l.seen {
		o := 0
		if s.sound != nil && !s.sound[name] {
			o = 1
		}
		look.Shows = append(look.Shows, o)
	}
	l.looks = append(l.looks, look)
}

// inspection is a close look at a set at rest. What it shows follows from what
// the fault is, not from a run.
type inspection struct {
	name, ask, sound string
	part             string // without which a set has nothing to look at
	ill              map[machine.Action]string
}

func inspections() []inspection {
	return []inspection{
		{"cells", "what does each cell of the battery show, and does a joint get warm?", "all about 2 V, all cool", "battery",
			map[machine.Action]string{machine.BadCell: "one shows nothing, or a joint is warm"}},
		{"brushes", "do all brushes lie on?", "all lie on", "motor", map[machine.Action]string{
			machine.MotorBrushLifted: "one of the motor is off", machine.GeneratorBrushLifted: "one of the generator’s commutator is off", machine.RingBrushLifted: "one of a slip ring is off"}},
		{"shaft", "how does the shaft turn by hand?", "easily", "shaft", map[machine.Action]string{machine.DryBearing: "stiffly"}},
		{"stand", "how does the shaft lie?", "level", "governor", map[machine.Action]string{machine.OnEnd: "it stands on end"}},
		{"leaf", "the governor’s leaf and contact: how do they look?", "the leaf is sound, the contact clean", "governor", map[machine.Action]string{
			machine.LeafBroken: "the leaf is broken", machine.ChangeLeaf: "the leaf is slack", machine.GovernorStuckOpen: "the contact is burnt or dirty", machine.GovernorStuckClosed: "the contact is welded"}},
		{"regulator", "the regulator’s plunger and contact: how do they move and look?", "it moves, and the contact is clean", "regulator", map[machine.Action]string{
			machine.PlungerStuck: "the plunger sticks", machine.RegulatorWelded: "the contact is welded", machine.RegulatorStuckOpen: "the contact is burnt or dirty"}},
		{"coil", "has the regulator’s coil its ohms?", "yes", "regulator", map[machine.Action]string{machine.CoilOpen: "no way through"}},
		{"field leads", "do the leads of the generator’s field lie as they are marked?", "as marked", "generator",
			map[machine.Action]string{machine.FieldLeadsReversed: "changed over"}},
		{"iron", "a compass at the generator’s poles: what does it show?", "the poles as marked", "generator",
			map[machine.Action]string{machine.ResidualLost: "no pole to speak of", machine.ResidualReversed: "the poles the other way"}},
		{"bell bars", "has something fallen across the bell bars?", "no", "generator",
			map[machine.Action]string{machine.BellBusShort: "yes"}},
		{"distributing fuse", "how is the distributing fuse?", "whole", "generator", map[machine.Action]string{machine.BellFuseBlown: "blown"}},
	}
}

// inspect adds the close looks at each set at rest.
func (l *looking) inspect(trials []trial) {
	for _, name := range l.names {
		for _, in := range inspections() {
			if !l.sets[name].card.Has(in.part) {
				continue
			}
			look := dictionary.Look{
				Name: "All power off: " + name + " " + in.name, Ask: fmt.Sprintf("All power off (%s): %s", name, in.ask),
				How: withPowerOff, Stage: dictionary.Off, Hazard: "rotating", Cost: costOfTouch, Sure: sureOfEye, Answers: []string{in.sound},
			}
			for _, t := range trials {
				o := 0
				if a, ok := in.ill[t.fault]; ok && t.fault != "" && t.of == name {
					if look.Answers[o] != a {
						look.Answers, o = append(look.Answers, a), len(look.Answers)
					}
				}
				look.Shows = append(look.Shows, o)
			}
			l.looks = append(l.looks, look)
		}
	}
}
