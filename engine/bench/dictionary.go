package bench

import (
	"encoding/json"
	"fmt"
	"slices"

	"slipring/engine/dictionary"
	"slipring/engine/tell"
)

// Moment is when somebody looks at a board while a dictionary is made.
type Moment struct {
	At   float64 // s, counted from the beginning
	When string  // as the questions begin, such as "At rest"
	Open bool    // whether the board is also measured behind, with power on
}

// Dictionary says of each fault what a person sees, hears and can measure.
type Dictionary struct{ d *dictionary.Dictionary }

// Dictionary runs each fault, one at a time, through all that was done to this
// wiring, and looks at it at each of the moments: at lamps, bells, needles,
// relays, and how the set turns. Then all power is off, and it is measured and
// looked at closely. Faults are those of [Wiring.Causes], but for keys; that
// nothing is wrong is one of them.
//
//	run := bench.Wiring().At(0.5).Press("start").At(9)
//	d := run.Dictionary(bench.Moment{0.4, "At rest", false}, bench.Moment{8, "While it runs", true})
//	tell.Finder("board", d.Finder(100, 12))
func (w *Wiring) Dictionary(moments ...Moment) *Dictionary {
	moments = slices.Clone(moments)
	for i, m := range moments {
		twice := slices.ContainsFunc(moments[:i], func(o Moment) bool { return o.When == m.When })
		if m.When == "" || twice || !(m.At >= 0 && m.At <= w.now) || i > 0 && m.At <= moments[i-1].At {
			panic(tell.Misuse{
				Text: fmt.Sprintf("moment %d of a dictionary is %v s, called %q", i+1, m.At, m.When),
				Hint: fmt.Sprintf("give each a name of its own, and times from 0 to %v s in their order; go on to a later time with At", w.now)})
		}
	}
	if len(moments) == 0 {
		panic(tell.Misuse{Text: "a dictionary looks at no moment", Hint: `give some: bench.Moment{8, "While it runs", true}`})
	}
	key := fmt.Sprintf("dictionary at %+v of %s", moments, w.keyOfAll())
	var kept struct {
		Faults []dictionary.Fault
		Looks  []dictionary.Look
	}
	had, known := w.shelf.fresh[key]
	if !known {
		had = w.shelf.recalled[key]
	}
	if json.Unmarshal(had, &kept) != nil || len(kept.Faults) == 0 {
		kept.Faults, kept.Looks = w.dictionary(moments)
		if content, err := json.Marshal(kept); err == nil {
			w.shelf.fresh[key] = content
		}
	}
	d, err := dictionary.New(kept.Faults, kept.Looks)
	if err != nil {
		panic(misuse(err))
	}
	return &Dictionary{d}
}

// Faults gives the names of all faults of the dictionary; the first is "nothing".
func (d *Dictionary) Faults() (names []string) {
	for _, f := range d.d.Faults {
		names = append(names, f.Name)
	}
	return names
}

// Sentence says in plain words what a fault is.
func (d *Dictionary) Sentence(fault string) string { return d.d.Faults[d.fault(fault)].Sentence }

// Stops says whether whoever finds a fault has to stop and isolate at once, since
// the set runs away or does not stop, or a fuse melts.
func (d *Dictionary) Stops(fault string) bool { return d.d.Faults[d.fault(fault)].Stop }

func (d *Dictionary) fault(name string) int {
	i := d.d.Fault(name)
	if i < 0 {
		panic(tell.Misuse{Text: fmt.Sprintf("the dictionary has no fault called %q", name), Hint: `faults are called, for example, "W17 open", "H1 burnt out", "dry bearing" or "nothing"; Faults gives all`})
	}
	return i
}

// Looks gives the names of all looks and measurements that tell something, in the
// order in which a person would take them.
func (d *Dictionary) Looks() (names []string) {
	for _, l := range d.d.Looks {
		names = append(names, l.Name)
	}
	return names
}

// Shows gives the answer of a look where something is wrong.
func (d *Dictionary) Shows(look, fault string) string {
	for _, l := range d.d.Looks {
		if l.Name == look {
			return l.Answers[l.Shows[d.fault(fault)]]
		}
	}
	panic(tell.Misuse{Text: fmt.Sprintf("the dictionary has no look called %q", look), Hint: "Looks gives all; one that tells nothing more is left out"})
}

// Signatures is how many different things there are to see and to hear from the
// front.
func (d *Dictionary) Signatures() int { return len(d.d.Alike()) }

// Groups is how many groups of faults can be told apart with all looks and
// measurements.
func (d *Dictionary) Groups() int { return len(d.d.Groups()) }

// Alike gives the faults that look and sound from the front as one does, itself
// among them.
func (d *Dictionary) Alike(fault string) []string { return d.among(d.d.Alike(), fault) }

// Group gives the faults that nothing tells apart from one, itself among them.
func (d *Dictionary) Group(fault string) []string { return d.among(d.d.Groups(), fault) }

func (d *Dictionary) among(lists [][]int, fault string) (names []string) {
	at := d.fault(fault)
	for _, list := range lists {
		if slices.Contains(list, at) {
			for _, i := range list {
				names = append(names, d.d.Faults[i].Name)
			}
		}
	}
	return names
}

// Search is how many looks it takes to find a fault, or its group: on the average,
// with each fault as often as it is so, and at worst; and what they cost on the
// average, where a look from the front costs 1.
type Search struct {
	Mean  float64
	Worst int
	Cost  float64
}

// Sifted is the search that takes at each place what tells most for its cost.
func (d *Dictionary) Sifted() Search { return Search(d.d.Sifted()) }

// InOrder is the search along a fixed sheet: the looks in the order of Looks, without
// those that part nothing more.
func (d *Dictionary) InOrder() Search { return Search(d.d.InOrder()) }

// Halved is the search that halves the number of faults each time, as well as it
// can, whatever it costs.
func (d *Dictionary) Halved() Search { return Search(d.d.Halved()) }

// Learned lets somebody look for a fault who sees readings alone, and misreads
// some: one in fifty from the front, one in thirty behind. The seed says which. It
// gives the faults that he names and how many looks he took.
func (d *Dictionary) Learned(fault string, seed int) (names []string, looks int) {
	at, dice := d.fault(fault), seeded(seed, d.fault(fault))
	found, err := d.d.Learn(func(look int) int {
		l := d.d.Looks[look]
		if dice() < l.Sure {
			return l.Shows[at]
		}
		other := int(dice() * float64(len(l.Answers)-1))
		if other >= l.Shows[at] {
			other++
		}
		return other
	})
	if err != nil {
		panic(misuse(err))
	}
	for _, i := range d.d.Groups()[found.Group] {
		names = append(names, d.d.Faults[i].Name)
	}
	return names, found.Looks
}

// seeded gives numbers from 0 to 1 that follow from two whole ones (SplitMix64;
// Steele, Lea and Flood, OOPSLA 2014).
func seeded(seed, stream int) func() float64 {
	state := uint64(seed)*0x9e3779b97f4a7c15 ^ uint64(stream)*0xd1342543de82ef95
	return func() float64 {
		state += 0x9e3779b97f4a7c15
		z := state
		z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
		z = (z ^ z>>27) * 0x94d049bb133111eb
		return float64((z^z>>31)>>11) / (1 << 53)
	}
}
