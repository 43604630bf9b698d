package sift

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// The circuit of de Kleer and Williams, Artificial Intelligence 32 (1987) 97:
// three multipliers and two adders, of which any may be faulty.
//
//	X = A C   Y = B D   Z = C E   F = X + Y   G = Y + Z
//
// with A 3, B 2, C 2, D 3, E 3. F shows 10 where 12 is right; G shows 12.
var parts = []string{"M1", "M2", "M3", "A1", "A2"}

const values = 16 // that a faulty part may give, each alike

// predict gives what X, Y, Z, F and G are where the given parts are faulty and
// some values are known already: whatever the sound parts let one conclude.
// ok is false where they contradict each other.
func predict(faulty int, known map[byte]int) (at map[byte]int, ok bool) {
	at = map[byte]int{}
	for name, value := range known {
		at[name] = value
	}
	sound := func(part int) bool { return faulty>>part&1 == 0 }
	set := func(name byte, value int) {
		if old, is := at[name]; is && old != value {
			ok = false
		}
		at[name] = value
	}
	ok = true
	for part, name := range []byte("XYZ") {
		if sound(part) {
			set(name, 6)
		}
	}
	adder := func(a, b, sum byte) {
		x, isX := at[a]
		y, isY := at[b]
		s, isS := at[sum]
		switch {
		case isX && isY:
			set(sum, x+y)
		case isX && isS:
			set(b, s-x)
		case isY && isS:
			set(a, s-y)
		}
	}
	for range 3 {
		if sound(3) {
			adder('X', 'Y', 'F')
		}
		if sound(4) {
			adder('Y', 'Z', 'G')
		}
	}
	return at, ok
}

// circuit makes the case: a cause for each set of faulty parts, the looks F and
// G, and the probes X, Y, Z, which know what F and G have shown.
func circuit(t *testing.T) *Case {
	t.Helper()
	var causes []Cause
	for faulty := range 32 {
		cause := Cause{Weight: 1}
		for part, name := range parts {
			if faulty>>part&1 == 1 {
				cause.Name += " " + name
				cause.Weight *= 0.01
			} else {
				cause.Weight *= 0.99
			}
		}
		cause.Name = strings.TrimSpace(cause.Name)
		causes = append(causes, cause)
	}
	look := func(name byte, known map[byte]int) Look {
		l := Look{Name: string(name), Cost: 1}
		for value := range values {
			l.Outcomes = append(l.Outcomes, string(rune('a'+value)))
		}
		for faulty := range 32 {
			at, ok := predict(faulty, known)
			value, is := at[name]
			if ok && is && value >= 0 && value < values {
				l.Chances = append(l.Chances, Surely(value, values, 1))
			} else {
				l.Chances = append(l.Chances, slices.Repeat([]float64{1. / values}, values))
			}
		}
		return l
	}
	both := map[byte]int{'F': 10, 'G': 12}
	c, err := New(causes, []Look{look('F', nil), look('G', map[byte]int{'F': 10}), look('X', both), look('Y', both), look('Z', both)})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// candidates gives the smallest sets of faulty parts that readings leave.
func candidates(t *testing.T, c *Case, readings []Reading) string {
	t.Helper()
	weights, err := c.Weights(readings)
	if err != nil {
		t.Fatal(err)
	}
	var left []int
	for faulty, w := range weights {
		// What fits weighs at least as much as its parts fail by chance; what
		// contradicts itself, a thousandth of that.
		if prior := c.Causes[faulty].Weight; w > prior*1e-3*slices.Max(weights) {
			left = append(left, faulty)
		}
	}
	var names []string
	for _, faulty := range left {
		if !slices.ContainsFunc(left, func(other int) bool { return other != faulty && other&faulty == other }) {
			names = append(names, c.Causes[faulty].Name)
		}
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}

// The candidates and the order of probes are the published part; the weights
// and entropies were computed apart from this code, with the same assumptions
// (own).
func TestPublishedProbes(t *testing.T) {
	c := circuit(t)
	seen := []Reading{{0, 10}, {1, 12}}
	for _, test := range []struct {
		readings []Reading
		want     string
	}{
		{[]Reading{{0, 10}}, "A1, M1, M2"},
		{seen, "A1, M1, M2 A2, M2 M3"},
		{append(slices.Clone(seen), Reading{2, 4}), "M1"},
		{append(slices.Clone(seen), Reading{2, 6}), "A1, M2 A2, M2 M3"},
	} {
		if got := candidates(t, c, test.readings); got != test.want {
			t.Errorf("after %v the candidates are %s, want %s", test.readings, got, test.want)
		}
	}
	weights, err := c.Weights(seen)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "the weight of M1", weights[1], 0.49622, 2e-5)
	near(t, "the weight of A1", weights[8], 0.49622, 2e-5)
	near(t, "the weight of M1 and A1", weights[9], 0.00501, 1e-5)
	near(t, "the weight of M2 and M3", weights[6], 0.00031, 1e-5)
	h := entropy(weights)
	near(t, "the entropy", h, 1.0714, 1e-4)
	for i, want := range []float64{0.0383, 1.0635, 1.0670} {
		near(t, "the entropy after "+c.Looks[2+i].Name, h-c.information(2+i, weights), want, 1e-4)
	}
	next, ok, err := c.Next(seen)
	if err != nil || !ok || c.Looks[next.Look].Name != "X" {
		t.Errorf("the next probe is %v (%v, %v), want X", next, ok, err)
	}
	if math.Abs(next.Information-(1.0714-0.0383)) > 2e-4 {
		t.Errorf("it tells %v bits", next.Information)
	}
}
