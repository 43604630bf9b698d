package circuit

import "fmt"

// Fault is something that can go wrong with a wiring.
type Fault struct {
	What     FaultKind
	Of       string // the part, or the wire
	Sentence string // in plain words
}

// Name is the fault in a few words that no other fault has.
func (f Fault) Name() string { return f.Of + " " + string(f.What) }

// FaultKind is what goes wrong.
type FaultKind string

const (
	WireOpen      FaultKind = "open"
	FuseBlown     FaultKind = "blown"
	LampBurntOut  FaultKind = "burnt out"
	StuckUp       FaultKind = "stuck operated"
	StuckReleased FaultKind = "stuck released"
)

// Faults lists every single fault that the wiring can have: each wire open, each
// fuse blown, each lamp burnt out, and each relay or detector stuck either way.
func (w Wiring) Faults() (all []Fault) {
	for _, one := range w.Wires {
		all = append(all, Fault{WireOpen, one.Name, fmt.Sprintf("The wire %s from %s to %s is open.", one.Name, one.From, one.To)})
	}
	for _, p := range w.Parts {
		switch p.Kind {
		case "fuse":
			all = append(all, Fault{FuseBlown, p.Name, fmt.Sprintf("The fuse %s is blown.", p.Name)})
		case "lamp":
			all = append(all, Fault{LampBurntOut, p.Name, fmt.Sprintf("The lamp %s is burnt out.", p.Name)})
		case "relay", "detector", "flasher":
			all = append(all, Fault{StuckUp, p.Name, fmt.Sprintf("The %s %s is stuck operated.", p.Kind, p.Name)},
				Fault{StuckReleased, p.Name, fmt.Sprintf("The %s %s is stuck released.", p.Kind, p.Name)})
		}
	}
	return all
}

// Fail brings a fault about.
func (b *Board) Fail(f Fault) error {
	switch f.What {
	case WireOpen:
		return b.Cut(f.Of)
	case FuseBlown:
		return b.Blow(f.Of)
	case LampBurntOut:
		return b.BurnOut(f.Of)
	case StuckUp, StuckReleased:
		return b.Stick(f.Of, f.What == StuckUp)
	}
	return Flaw{Reason: fmt.Sprintf("there is no fault %q", f.What), Next: "take one of those that Faults lists"}
}
