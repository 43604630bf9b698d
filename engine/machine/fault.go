package machine

// Action is what a Change does. The zero value puts another load on the set;
// the others stand with the parts to which they happen.
type Action string

// PutLoad puts another load on the set.
const PutLoad Action = ""

// Fault is something that goes wrong with a set.
type Fault struct {
	Action   Action
	Name     string
	Sentence string // what it is, in plain words
}

// Faults lists the faults that a Change can bring about, part by part.
func Faults() []Fault {
	var out []Fault
	for _, a := range everything().actions {
		if n := len(out); a.sentence != "" && (n == 0 || out[n-1].Action != a.what) {
			out = append(out, Fault{a.what, string(a.what), a.sentence})
		}
	}
	return out
}

// action is what one part does when something happens.
type action struct {
	what     Action
	part     string               // by name
	sentence string               // of a fault: what it is, in plain words
	lacks    func(c Change) error // why the change is impossible on a machine without the part; nil for a fault
	check    func(c Change) error // why the change is impossible; nil when it never is
	do       func(s *Simulation, c Change, y []float64)
}

// act offers an action of the part that joins.
func (s *system) act(a action) {
	a.part = s.joining.name
	s.actions = append(s.actions, a)
}

// fault offers a fault of the part that joins which asks no more than that it is
// done.
func (s *system) fault(what Action, sentence string, do func()) {
	s.act(action{what: what, sentence: sentence, do: func(*Simulation, Change, []float64) { do() }})
}

// asked gives the actions of a machine that a change asks for.
func (s *system) asked(c Change) (out []action) {
	for _, a := range s.actions {
		if a.what == c.What && (c.Part == "" || c.Part == a.part) {
			out = append(out, a)
		}
	}
	return out
}
