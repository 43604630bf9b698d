package bench_test

import (
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/machine"
	"slipring/engine/sweeptest"
	"slipring/engine/tell"
)

// script is what a person does, for the dictionary of the demonstration's board.
func script(w *bench.Wiring) *bench.Wiring {
	return w.At(0.5).Press("start").At(8).Press("changeover").At(9).Press("silence").At(10).Press("changeover").At(11).Press("stop").At(12.5)
}

func moments() []bench.Moment {
	return []bench.Moment{
		{0.4, "At rest", false}, {7.5, "While it runs", true}, {8.8, "Key turned over", false},
		{9.8, "Silenced", false}, {10.8, "Key turned back", false}, {12.4, "Just after the stop key", false}}
}

// shipped is the demonstration's dictionary, made once for all tests.
var shipped struct {
	sync.Once
	shelf *bench.Shelf
	d     *bench.Dictionary
}

func shippedDictionary(t testing.TB) *bench.Dictionary {
	t.Helper()
	if testing.Short() {
		t.Skip("a whole dictionary takes minutes under the race detector, which sees its goroutines in TestCauses")
	}
	shipped.Do(func() {
		shipped.shelf = bench.New([]machine.Card{shippedCard(t)})
		shipped.shelf.Wire(shippedWiring(t))
		shipped.d = script(shipped.shelf.Wiring()).Dictionary(moments()...)
	})
	return shipped.d
}

// Whatever can go wrong stands in it once, and nothing is a fault of it.
func TestDictionaryOfAll(t *testing.T) {
	d := shippedDictionary(t)
	all := d.Faults()
	if all[0] != "nothing" || slices.Contains(all, "changeover turned") {
		t.Errorf("%q", all[:3])
	}
	for _, name := range shipped.shelf.Wiring().Faults() {
		if !slices.Contains(all, name) {
			t.Errorf("%s is missing", name)
		}
	}
	for _, f := range machine.Faults() {
		if !slices.Contains(all, f.Name) {
			t.Errorf("%s is missing", f.Name)
		}
	}
	sorted := slices.Clone(all)
	slices.Sort(sorted)
	if len(slices.Compact(sorted)) != len(all) {
		t.Error("a fault stands there twice")
	}
	inAlike, inGroups := 0, 0
	for _, f := range all {
		group, alike := d.Group(f), d.Alike(f)
		if !slices.Contains(group, f) {
			t.Errorf("%s is not in its group", f)
		}
		for _, other := range group { // what a measurement cannot part, an eye cannot
			if !slices.Contains(alike, other) {
				t.Errorf("%s and %s are parted by eye, and by nothing", f, other)
			}
		}
		if alike[0] == f {
			inAlike++
		}
		if group[0] == f {
			inGroups++
		}
		if d.Sentence(f) == "" {
			t.Errorf("%s has no sentence", f)
		}
	}
	if d.Signatures() != inAlike || d.Groups() != inGroups || inAlike >= inGroups {
		t.Errorf("%d signatures, %d groups; counted %d and %d", d.Signatures(), d.Groups(), inAlike, inGroups)
	}
	t.Logf("%d faults, %d looks, %d signatures, %d groups", len(all), len(d.Looks()), inAlike, inGroups)
}

// What the dictionary says of a fault is what the board shows when it is given that
// fault by itself, and what the meters show on it.
func TestDictionaryIsTrue(t *testing.T) {
	d := shippedDictionary(t)
	names := map[string]bool{}
	for _, l := range d.Looks() {
		names[l] = true
	}
	compared := 0
	kind := func(fault string) string { // "W13 open" is one of those that are open
		_, is, _ := strings.Cut(fault, " ")
		return is
	}
	some := sweeptest.Sample(t, sweeptest.Some(t, shipped.shelf.Wiring().Faults(), 6, kind), 2) // each takes seconds
	for _, fault := range append(some, "F12 blown", "D1 stuck released") {
		failed := shipped.shelf.Wiring().Fail(fault)
		run := script(failed)
		for _, m := range moments() {
			now := run.Until(m.At)
			for _, l := range now.Lamps() {
				look := m.When + ": " + l.Part
				if !names[look] {
					continue
				}
				want := "dark"
				if l.Lit {
					want = "lit"
				} else if l.Dim {
					want = "dim"
				}
				if got := d.Shows(look, fault); got != want && !melted(run) {
					t.Errorf("%s, %s: %s, and the board shows %s", fault, look, got, want)
				}
				compared++
			}
		}
		for look := range names {
			ends, ok := strings.CutPrefix(look, "All power off: ")
			from, to, two := strings.Cut(ends, " to ")
			if !ok || !two || melted(run) {
				continue
			}
			x, got := failed.Ohms(from, to), d.Shows(look, fault)
			if (x < 1) != (got == "less than 1 ohm") || math.IsInf(x, 1) != (got == "no way through") {
				t.Errorf("%s, %s: %s, and a meter shows %v ohm", fault, look, got, x)
			}
			compared++
		}
	}
	if compared < 300 {
		t.Errorf("only %d answers were compared", compared)
	}
}

// melted says whether the motor fuse has melted in a run: the dictionary then goes
// on with the fuse of the board melted, too.
func melted(w *bench.Wiring) bool { return w.Until(7.5).Meter("AM") < 0.5 }

// Whoever finds these has to stop at once: they hold the shaft, or melt a fuse.
func TestDictionaryStops(t *testing.T) {
	d := shippedDictionary(t)
	for fault, stop := range map[string]bool{
		"motor field open": true, "W16 open": true, "K1 stuck operated": true,
		"nothing": false, "H1 burnt out": false, "F12 blown": false, "F1 blown": false,
	} {
		if d.Stops(fault) != stop {
			t.Errorf("%s: stop is %v", fault, !stop)
		}
	}
	if got := d.Shows("All power off: F1.1 to F1.2", "motor field open"); got != "no way through" {
		t.Errorf("the motor field is open, and the fuse shows %s", got)
	}
}

// By what is worth most for its cost, a fault is found for less than by halving, and
// in fewer looks than along a fixed sheet.
func TestDictionarySearch(t *testing.T) {
	d := shippedDictionary(t)
	sifted, order, halved := d.Sifted(), d.InOrder(), d.Halved()
	if !(sifted.Cost < halved.Cost && sifted.Mean < 0.5*order.Mean && sifted.Worst < order.Worst) {
		t.Errorf("sifted %+v, in order %+v, halved %+v", sifted, order, halved)
	}
	if floor := math.Log2(float64(d.Groups())) / 3; halved.Mean < floor { // 8 answers at most
		t.Errorf("halved: %v looks, and %v are the fewest", halved.Mean, floor)
	}
	t.Logf("sifted %+v, in order %+v, halved %+v", sifted, order, halved)
}

// Each fault is found again by somebody who sees readings alone, and misreads some.
func TestDictionaryLearned(t *testing.T) {
	d := shippedDictionary(t)
	seed := int(sweeptest.Seed(t))
	looks, wrong := 0, 0
	faults := sweeptest.Sample(t, d.Faults(), 60)
	for _, fault := range faults {
		names, n := d.Learned(fault, seed)
		if looks += n; !slices.Contains(names, fault) {
			wrong++
			t.Logf("%s is called %q after %d looks", fault, names, n)
		}
	}
	t.Logf("%d of %d found, %.1f looks on the average", len(faults)-wrong, len(faults), float64(looks)/float64(len(faults)))
	if wrong > len(faults)/100 { // he names what weighs 0.999, by chances that he knows
		t.Errorf("%d of %d faults are not found again", wrong, len(faults))
	}
}

// What was made once is recalled, and a fault alone or beside others comes out the
// same.
func TestDictionaryKept(t *testing.T) {
	d := shippedDictionary(t)
	again := bench.New([]machine.Card{shippedCard(t)})
	again.Wire(shippedWiring(t))
	again.Recall(shipped.shelf.Kept())
	other := script(again.Wiring()).Dictionary(moments()...)
	if len(again.Kept()) > 0 || !slices.Equal(other.Faults(), d.Faults()) || !slices.Equal(other.Looks(), d.Looks()) {
		t.Errorf("recalled, it has %d faults and %d looks, and %d were made again", len(other.Faults()), len(other.Looks()), len(again.Kept()))
	}
}

func TestDictionaryRefuses(t *testing.T) {
	d := shippedDictionary(t)
	run := shipped.shelf.Wiring().At(2)
	for want, ask := range map[string]func(){
		`the dictionary has no fault called "W999 open"`: func() { d.Stops("W999 open") },
		`the dictionary has no look called "H99"`:        func() { d.Shows("H99", "nothing") },
		"a dictionary looks at no moment":                func() { run.Dictionary() },
		`moment 1 of a dictionary is 3 s, called "late"`: func() { run.Dictionary(bench.Moment{At: 3, When: "late"}) },
		`moment 1 of a dictionary is 1 s, called ""`:     func() { run.Dictionary(bench.Moment{At: 1}) },
		`moment 2 of a dictionary is 1 s, called "b"`: func() {
			run.Dictionary(bench.Moment{At: 1, When: "a"}, bench.Moment{At: 1, When: "b"})
		},
		`moment 2 of a dictionary is 2 s, called "a"`: func() {
			run.Dictionary(bench.Moment{At: 1, When: "a"}, bench.Moment{At: 2, When: "a"})
		},
	} {
		func() {
			defer func() {
				if m, ok := recover().(tell.Misuse); !ok || m.Text != want || m.Hint == "" {
					t.Errorf("want %q, got %v", want, m)
				}
			}()
			ask()
		}()
	}
}
