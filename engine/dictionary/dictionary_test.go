package dictionary_test

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"slipring/engine/dictionary"
)

// chain is parts in a row, of which one is broken; each look asks whether all is
// well up to a place.
func chain(t *testing.T, parts int, sure float64) *dictionary.Dictionary {
	t.Helper()
	var faults []dictionary.Fault
	var looks []dictionary.Look
	for i := range parts {
		faults = append(faults, dictionary.Fault{Name: fmt.Sprint("part ", i), Sentence: fmt.Sprintf("The part %d is broken.", i), Weight: 1})
	}
	for cut := 1; cut < parts; cut++ {
		l := dictionary.Look{Name: fmt.Sprint("cut ", cut), Ask: "Is it well?", Cost: 1, Sure: sure, Answers: []string{"well", "not"}}
		for i := range parts {
			o := 0
			if i < cut {
				o = 1
			}
			l.Shows = append(l.Shows, o)
		}
		looks = append(looks, l)
	}
	d, err := dictionary.New(faults, looks)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Half-splitting finds one of n parts in a row in log2 n looks (US Army subcourse
// IT0338, frames 16 and 17: to the midpoint of the brackets), and no search in
// fewer (Shannon). One part after the other takes (n-1)(n+2)/(2n) on the average:
// k looks for the k-th, but the last two are told by one look.
func TestHalfSplit(t *testing.T) {
	const n = 64
	d := chain(t, n, 0.99)
	if s := d.Halved(); s.Worst != 6 || s.Mean != 6 {
		t.Errorf("halved: %+v", s)
	}
	if s := d.Sifted(); s.Worst != 6 || s.Mean != 6 || s.Cost != 6 {
		t.Errorf("sifted: %+v", s)
	}
	if s, want := d.InOrder(), float64(n-1)*(n+2)/(2*n); s.Worst != n-1 || math.Abs(s.Mean-want) > 1e-12 {
		t.Errorf("in order: %+v, want %v", s, want)
	}
}

// Four faults of weights 4, 2, 1, 1, with a look for each, and looks alike take
// 1.75 looks on the average, as Huffman's code takes letters (Huffman, Proc. IRE
// 40, 1952).
func TestWeights(t *testing.T) {
	var faults []dictionary.Fault
	var looks []dictionary.Look
	for i, w := range []float64{4, 2, 1, 1} {
		faults = append(faults, dictionary.Fault{Name: fmt.Sprint(i), Weight: w})
		l := dictionary.Look{Name: fmt.Sprint("is it ", i), Cost: 1, Sure: 1, Answers: []string{"no", "yes"}, Shows: make([]int, 4)}
		l.Shows[i] = 1
		looks = append(looks, l)
	}
	d, err := dictionary.New(faults, looks)
	if err != nil {
		t.Fatal(err)
	}
	if s := d.Sifted(); s.Mean != 1.75 || s.Worst != 3 {
		t.Errorf("%+v", s)
	}
}

func table() ([]dictionary.Fault, []dictionary.Look) {
	return []dictionary.Fault{{Name: "nothing", Weight: 4}, {Name: "lamp", Weight: 2}, {Name: "wire", Weight: 1}, {Name: "other wire", Weight: 1}},
		[]dictionary.Look{
			{Name: "lamp", Cost: 1, Sure: 0.98, Answers: []string{"lit", "dim", "dark"}, Shows: []int{0, 2, 2, 2}},
			{Name: "the same lamp again", Cost: 1, Sure: 0.98, Answers: []string{"a", "b"}, Shows: []int{1, 0, 0, 0}},
			{Name: "always so", Cost: 1, Sure: 0.98, Answers: []string{"yes"}, Shows: []int{0, 0, 0, 0}},
			{Name: "coarse", Stage: dictionary.Off, Cost: 4, Sure: 0.97, Answers: []string{"0", "1"}, Shows: []int{0, 1, 1, 1}},
			{Name: "ohms", Stage: dictionary.Off, Cost: 4, Sure: 0.97, Answers: []string{"0", "1"}, Shows: []int{0, 0, 1, 1}},
		}
}

// What looks alike from the front, what nothing tells apart, and which looks are
// left out.
func TestGroups(t *testing.T) {
	d, err := dictionary.New(table())
	if err != nil {
		t.Fatal(err)
	}
	if got := d.Alike(); !reflect.DeepEqual(got, [][]int{{0}, {1, 2, 3}}) {
		t.Errorf("alike: %v", got)
	}
	if got := d.Groups(); !reflect.DeepEqual(got, [][]int{{0}, {1}, {2, 3}}) {
		t.Errorf("groups: %v", got)
	}
	var names []string
	for _, l := range d.Looks {
		names = append(names, l.Name)
	}
	if !reflect.DeepEqual(names, []string{"lamp", "ohms"}) || len(d.Looks[0].Answers) != 2 {
		t.Errorf("looks: %q", names)
	}
	if d.Fault("wire") != 2 || d.Fault("none") != -1 {
		t.Error("a fault is not found by its name")
	}
}

// A chart takes all that the front tells before it has anything opened, however much
// more a measurement would tell.
func TestStages(t *testing.T) {
	faults := make([]dictionary.Fault, 8)
	front := dictionary.Look{Name: "front", Cost: 1, Sure: 0.98, Answers: []string{"no", "yes"}, Shows: make([]int, 8)}
	off := dictionary.Look{Name: "off", Stage: dictionary.Off, Cost: 1, Sure: 0.98, Answers: strings.Split("01234567", "")}
	for i := range faults {
		faults[i] = dictionary.Fault{Name: fmt.Sprint(i), Weight: 1}
		off.Shows = append(off.Shows, i)
	}
	front.Shows[3] = 1
	d, err := dictionary.New(faults, []dictionary.Look{off, front})
	if err != nil {
		t.Fatal(err)
	}
	root := d.Chart(100, 24, 1)
	if d.Looks[root.Look].Name != "front" || root.Ways[0].To.Look < 0 || root.Ways[1].To.Look >= 0 {
		t.Errorf("first %q", d.Looks[root.Look].Name)
	}
	if s := d.Halved(); s.Worst != 1 { // which heeds no stage
		t.Errorf("halved: %+v", s)
	}
}

func TestRefuses(t *testing.T) {
	for want, spoil := range map[string]func(f []dictionary.Fault, l []dictionary.Look){
		`the look "ohms" shows 1 of 4 faults`:                        func(_ []dictionary.Fault, l []dictionary.Look) { l[4].Shows = []int{0} },
		`the look "ohms" has no answer 7, which the fault "lamp"`:    func(_ []dictionary.Fault, l []dictionary.Look) { l[4].Shows[1] = 7 },
		`the look "lamp" is read as it is with a chance of 0.5`:      func(_ []dictionary.Fault, l []dictionary.Look) { l[0].Sure = 0.5 },
		`there are two causes "lamp"`:                                func(f []dictionary.Fault, _ []dictionary.Look) { f[2].Name = "lamp" },
		`the look "ohms" is read as it is with a chance of NaN`:      func(_ []dictionary.Fault, l []dictionary.Look) { l[4].Sure = math.NaN() },
		`the cause "wire" weighs 0`:                                  func(f []dictionary.Fault, _ []dictionary.Look) { f[2].Weight = 0 },
		`the look "ohms" has no answer -1, which the fault "nothing`: func(_ []dictionary.Fault, l []dictionary.Look) { l[4].Shows[0] = -1 },
	} {
		faults, looks := table()
		spoil(faults, looks)
		if _, err := dictionary.New(faults, looks); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}

// A chart with few places asks first where most is to be told, and loses no fault.
func TestChart(t *testing.T) {
	d := chain(t, 64, 0.99)
	for _, most := range []struct{ places, looks, faults, ends, deep int }{
		{127, 24, 1, 1, 6}, {15, 24, 1, 8, 3}, {400, 2, 1, 16, 2}, {1, 24, 1, 64, 0},
	} {
		places, deep, largest := 0, 0, 0
		var named []int
		var walk func(n *dictionary.Node, before int)
		walk = func(n *dictionary.Node, before int) {
			places++
			if n.Look < 0 {
				deep, largest = max(deep, before), max(largest, len(n.Faults))
				named = append(named, n.Faults...)
				return
			}
			for _, way := range n.Ways {
				walk(way.To, before+1)
			}
		}
		walk(d.Chart(most.places, most.looks, most.faults), 0)
		if places > most.places || deep != most.deep || largest != most.ends || len(named) != 64 {
			t.Errorf("%+v: %d places, %d deep, up to %d faults at an end, %d in all", most, places, deep, largest, len(named))
		}
	}
}

// Somebody who misreads one look, whichever it is, still finds each fault; and he
// takes fewer looks when he misreads none.
func TestLearn(t *testing.T) {
	d := chain(t, 32, 0.98)
	for fault := range d.Faults {
		right, err := d.Learn(func(look int) int { return d.Looks[look].Shows[fault] })
		if err != nil || d.Groups()[right.Group][0] != fault || right.Weight < 0.999 {
			t.Fatalf("fault %d: %+v, %v", fault, right, err)
		}
		for slip := range right.Looks {
			taken := -1
			found, err := d.Learn(func(look int) int {
				if taken++; taken == slip {
					return 1 - d.Looks[look].Shows[fault]
				}
				return d.Looks[look].Shows[fault]
			})
			if err != nil || d.Groups()[found.Group][0] != fault || found.Looks <= right.Looks {
				t.Errorf("fault %d, misread at look %d: %+v, %v", fault, slip, found, err)
			}
		}
	}
}
