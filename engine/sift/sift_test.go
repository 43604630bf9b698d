package sift

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"slipring/engine/sweeptest"
)

// certain makes a case whose causes always show the same: shows has a row for
// each look, with the outcome of each cause.
func certain(t testing.TB, weights, costs []float64, shows [][]int) *Case {
	t.Helper()
	c, err := New(causes(weights), looks(costs, shows, 1))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func causes(weights []float64) []Cause {
	var list []Cause
	for i, w := range weights {
		list = append(list, Cause{string(rune('A' + i)), w})
	}
	return list
}

func looks(costs []float64, shows [][]int, chance float64) []Look {
	var list []Look
	for l, row := range shows {
		look := Look{Name: string(rune('a' + l)), Cost: costs[l]}
		n := slices.Max(row) + 1
		for o := range n {
			look.Outcomes = append(look.Outcomes, string(rune('0'+o)))
		}
		for _, o := range row {
			look.Chances = append(look.Chances, Surely(o, n, chance))
		}
		list = append(list, look)
	}
	return list
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.7g, want %.7g within %g", what, got, want, within)
	}
}

func TestRefuses(t *testing.T) {
	good := func() ([]Cause, []Look) {
		return causes([]float64{1, 2}), looks([]float64{1, 1}, [][]int{{0, 1}, {1, 0}}, 0.9)
	}
	for name, test := range map[string]struct {
		spoil func([]Cause, []Look) ([]Cause, []Look)
		want  string
	}{
		"no causes":      {func(c []Cause, l []Look) ([]Cause, []Look) { return nil, l }, "there are no causes to choose from"},
		"cause twice":    {func(c []Cause, l []Look) ([]Cause, []Look) { c[1].Name = "A"; return c, l }, `there are two causes "A"`},
		"weight 0":       {func(c []Cause, l []Look) ([]Cause, []Look) { c[1].Weight = 0; return c, l }, `the cause "B" weighs 0`},
		"weight NaN":     {func(c []Cause, l []Look) ([]Cause, []Look) { c[1].Weight = math.NaN(); return c, l }, `the cause "B" weighs NaN`},
		"weight endless": {func(c []Cause, l []Look) ([]Cause, []Look) { c[0].Weight = math.Inf(1); return c, l }, `the cause "A" weighs +Inf`},
		"look twice":     {func(c []Cause, l []Look) ([]Cause, []Look) { l[1].Name = "a"; return c, l }, `there are two looks "a"`},
		"no cost":        {func(c []Cause, l []Look) ([]Cause, []Look) { l[0].Cost = 0; return c, l }, `the look "a" costs 0`},
		"no outcomes":    {func(c []Cause, l []Look) ([]Cause, []Look) { l[0].Outcomes = nil; return c, l }, `the look "a" has no outcomes`},
		"outcome twice":  {func(c []Cause, l []Look) ([]Cause, []Look) { l[0].Outcomes[1] = "0"; return c, l }, `the look "a" can show "0" twice`},
		"rows missing":   {func(c []Cause, l []Look) ([]Cause, []Look) { l[0].Chances = l[0].Chances[:1]; return c, l }, `the look "a" has chances for 1 of 2 causes`},
		"row short":      {func(c []Cause, l []Look) ([]Cause, []Look) { l[0].Chances[1] = []float64{1}; return c, l }, `the look "a" has 1 chances for 2 outcomes where the cause is "B"`},
		"below 0":        {func(c []Cause, l []Look) ([]Cause, []Look) { l[0].Chances[1] = []float64{-0.5, 1.5}; return c, l }, `the look "a" shows "0" with a chance of -0.5 where the cause is "B"`},
		"no sum":         {func(c []Cause, l []Look) ([]Cause, []Look) { l[0].Chances[0] = []float64{0.5, 0.25}; return c, l }, `the chances of the look "a" sum to 0.75 where the cause is "A"`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := New(test.spoil(good()))
			var told Error
			if !errors.As(err, &told) || told.Text != test.want || told.Next == "" {
				t.Errorf("got %v, want %s, and a next step", err, test.want)
			}
		})
	}
	c, err := New(good())
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []Reading{{-1, 0}, {2, 0}, {0, -1}, {0, 2}} {
		if _, err := c.Weights([]Reading{r}); err == nil {
			t.Errorf("the reading %v is taken", r)
		}
		if _, _, err := c.Next([]Reading{r}); err == nil {
			t.Errorf("there is a next look after the reading %v", r)
		}
	}
	for _, least := range []float64{0, -1, 1.5, math.NaN()} {
		if _, err := c.Chart(least); err == nil {
			t.Errorf("there is a chart with a least chance of %v", least)
		}
	}
	wild := looks(slices.Repeat([]float64{1}, 13), slices.Repeat([][]int{{0, 1}}, 13), 0.5)
	if c, err = New(causes([]float64{1, 1}), wild); err != nil {
		t.Fatal(err)
	}
	if _, err := c.Chart(0.1); err == nil || !strings.Contains(err.Error(), "more than 4096 cases") {
		t.Errorf("a chart of 2 causes with 2^13 outcomes each gives %v", err)
	}
}

// Bayes' rule by hand: a lamp that is lit in 9 of 10 cases where the fuse has
// blown, and in 2 of 10 where it has not.
func TestWeights(t *testing.T) {
	c, err := New([]Cause{{"blown", 1}, {"whole", 3}}, []Look{{
		Name: "lamp", Cost: 1, Outcomes: []string{"lit", "dark"}, Chances: [][]float64{{0.9, 0.1}, {0.2, 0.8}}}})
	if err != nil {
		t.Fatal(err)
	}
	w, err := c.Weights([]Reading{{0, 0}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "the weight after one reading", w[0], 0.9/(0.9+3*0.2), 1e-8)
	w, _ = c.Weights([]Reading{{0, 0}, {0, 1}})
	near(t, "the weight after both readings", w[0], 0.09/(0.09+3*0.16), 1e-8)
	next, ok, err := c.Next(nil)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	h := func(p float64) float64 { return entropy([]float64{p, 1 - p}) }
	near(t, "the information", next.Information, h(0.25*0.9+0.75*0.2)-0.25*h(0.9)-0.75*h(0.2), 1e-7)
	if _, ok, _ := c.Next([]Reading{{0, 0}}); ok {
		t.Error("a look that was taken is asked for again")
	}
}

// What contradicts itself strikes nothing out, and later readings still decide.
func TestNothingIsStruckOut(t *testing.T) {
	c := certain(t, []float64{1, 1, 1}, []float64{1, 1, 1}, [][]int{{1, 0, 0}, {1, 0, 0}, {0, 1, 0}})
	w, err := c.Weights([]Reading{{0, 0}, {1, 1}})
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range w {
		if !(x > 0) {
			t.Errorf("cause %d weighs %v", i, x)
		}
	}
	w, _ = c.Weights([]Reading{{0, 0}, {0, 1}, {1, 1}, {2, 0}})
	if !(w[0] > 0.99) {
		t.Errorf("three readings for it and one against leave %v", w[0])
	}
}

func TestGroups(t *testing.T) {
	c := certain(t, []float64{1, 2, 3, 4}, []float64{1, 1}, [][]int{{0, 1, 0, 1}, {0, 0, 0, 1}})
	got := c.Groups()
	if !slices.EqualFunc(got, [][]int{{0, 2}, {1}, {3}}, slices.Equal) {
		t.Errorf("groups are %v", got)
	}
	plan, err := c.Chart(0.1)
	if err != nil {
		t.Fatal(err)
	}
	var ends [][]int
	var walk func(*Node)
	walk = func(n *Node) {
		if n.Look < 0 {
			ends = append(ends, n.Causes)
		}
		for _, b := range n.Branches {
			walk(b.Node)
		}
	}
	walk(plan.Root)
	if !slices.EqualFunc(ends, [][]int{{2, 0}, {1}, {3}}, slices.Equal) {
		t.Errorf("the chart ends at %v", ends)
	}
}

// drawn makes a random case: each look shows one of two things for a cause, with
// the given chance that it does.
func drawn(t testing.TB, random *rand.Rand, n, looked int, chance float64) *Case {
	t.Helper()
	weights, costs, shows := make([]float64, n), slices.Repeat([]float64{1}, looked), make([][]int, looked)
	for i := range weights {
		weights[i] = 0.5 + random.Float64()
	}
	for l := range shows {
		shows[l] = make([]int, n)
		for i := range shows[l] {
			shows[l][i] = random.IntN(2)
		}
		shows[l][random.IntN(n)] = 1
	}
	c, err := New(causes(weights), looks(costs, shows, chance))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Readings are wrong now and then. Who strikes out every cause that does not fit
// a reading names about one in eight wrongly, or none; who weighs names at most
// 3 in 100 wrongly.
func TestReadingsThatAreWrong(t *testing.T) {
	const trials, slip = 400, 0.033
	random := sweeptest.Random(t)
	weighed, struck, taken := 0, 0, 0
	for range trials {
		c := drawn(t, random, 16, 20, 1-slip)
		truth := random.IntN(16)
		left := make([]bool, 16)
		for i := range left {
			left[i] = true
		}
		var readings []Reading
		decided := false
		for {
			weights, err := c.Weights(readings)
			if err != nil {
				t.Fatal(err)
			}
			next, ok, _ := c.Next(readings)
			if !ok || slices.Max(weights) > 0.99 {
				if weights[truth] < slices.Max(weights) {
					weighed++
				}
				break
			}
			o := slices.Index(c.Looks[next.Look].Chances[truth], 1-slip)
			if random.Float64() < slip {
				o = 1 - o
			}
			readings = append(readings, Reading{next.Look, o})
			taken++
			if decided {
				continue
			}
			count := 0
			for i := range left {
				left[i] = left[i] && c.Looks[next.Look].Chances[i][o] > 0.5
				if left[i] {
					count++
				}
			}
			if count < 2 {
				decided = true
				if !left[truth] {
					struck++
				}
			}
		}
	}
	t.Logf("wrong of %d: weighing %d, striking out %d; %.1f looks each", trials, weighed, struck, float64(taken)/trials)
	if weighed > trials*3/100 {
		t.Errorf("weighing names %d of %d wrongly", weighed, trials)
	}
	if struck < trials*7/100 || struck > trials*17/100 {
		t.Errorf("striking out names %d of %d wrongly, and 12 in 100 were meant: the trial is of another kind", struck, trials)
	}
}

// A batch is no longer than what tells something, its first look is the next
// one, and a look that repeats another has no place in it.
func TestBatch(t *testing.T) {
	c := certain(t, []float64{1, 1, 1, 1}, []float64{1, 1, 1, 1}, [][]int{{0, 0, 1, 1}, {1, 1, 0, 0}, {0, 1, 0, 1}, {0, 1, 1, 0}})
	batch, err := c.Batch(4, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(batch) != 2 || batch[0].Look != 0 || batch[1].Look != 2 {
		t.Errorf("the batch is %v", batch)
	}
	near(t, "the information of both", batch[1].Information, 1, 1e-6)
	// The second look of a batch knows nothing of the first's reading: of two
	// looks that part the halves, one each, it takes the one that serves both.
	c = certain(t, slices.Repeat([]float64{1}, 8), slices.Repeat([]float64{1}, 4), [][]int{
		{0, 0, 0, 0, 1, 1, 1, 1}, {0, 0, 1, 1, 0, 0, 0, 0}, {0, 0, 0, 0, 0, 0, 1, 1}, {0, 0, 0, 1, 0, 1, 1, 1}})
	batch, _ = c.Batch(2, nil)
	if len(batch) != 2 || batch[0].Look != 0 || batch[1].Look != 3 && batch[1].Look != 1 {
		t.Errorf("the batch is %v", batch)
	}
	random := sweeptest.Random(t)
	c = drawn(t, random, 12, 10, 0.95)
	first, _, _ := c.Next(nil)
	batch, _ = c.Batch(10, nil)
	if batch[0] != first {
		t.Errorf("the batch begins with %v, the next look is %v", batch[0], first)
	}
	told := 0.0
	for _, choice := range batch {
		told += choice.Information
	}
	weights, _ := c.Weights(nil)
	if told > entropy(weights) {
		t.Errorf("the batch tells %v bits of %v", told, entropy(weights))
	}
}

// Above 64 cases a chart is found by trying: it is whole, and never worse than
// taking the looks with most information.
func TestManyCauses(t *testing.T) {
	random := sweeptest.Random(t)
	c := drawn(t, random, 120, 30, 1)
	plan, err := c.Chart(0.1)
	if err != nil {
		t.Fatal(err)
	}
	if greedy := c.greedy(t); plan.Best || plan.Cost > greedy*(1+1e-12) || plan.Cost < math.Log2(60) {
		t.Errorf("a chart of 120 costs %v (best: %v); the looks with most information %v", plan.Cost, plan.Best, greedy)
	}
	count := 0
	var walk func(*Node)
	walk = func(n *Node) {
		count += len(n.Causes)
		for _, b := range n.Branches {
			walk(b.Node)
		}
	}
	walk(plan.Root)
	if count != 120 {
		t.Errorf("the chart ends at %d causes", count)
	}
}

func BenchmarkNext(b *testing.B) {
	c := drawn(b, rand.New(rand.NewPCG(1, 1)), 500, 100, 0.97)
	readings := []Reading{{3, 0}, {50, 1}}
	for b.Loop() {
		if _, ok, err := c.Next(readings); !ok || err != nil {
			b.Fatal(ok, err)
		}
	}
}

func BenchmarkBatch(b *testing.B) {
	c := drawn(b, rand.New(rand.NewPCG(1, 1)), 500, 100, 0.97)
	for b.Loop() {
		if batch, err := c.Batch(20, nil); len(batch) < 20 || err != nil {
			b.Fatal(batch, err)
		}
	}
}

func BenchmarkChart(b *testing.B) {
	c := drawn(b, rand.New(rand.NewPCG(1, 1)), 30, 20, 1)
	for b.Loop() {
		if plan, err := c.Chart(0.1); !plan.Best || err != nil {
			b.Fatal(plan, err)
		}
	}
}

func BenchmarkChartOfMany(b *testing.B) {
	c := drawn(b, rand.New(rand.NewPCG(1, 1)), 500, 100, 1)
	for b.Loop() {
		if _, err := c.Chart(0.1); err != nil {
			b.Fatal(err)
		}
	}
}

// A look may be taken again: twice the same reading of 0.9 leaves the other of two
// causes 0.01 to 0.81 (Bayes' rule by hand), and a look that is sure tells nothing
// the second time.
func TestAgain(t *testing.T) {
	c, err := New(causes([]float64{1, 1}), looks([]float64{1}, [][]int{{0, 1}}, 0.9))
	if err != nil {
		t.Fatal(err)
	}
	once := []Reading{{0, 0}}
	if _, ok, err := c.Next(once); ok || err != nil {
		t.Errorf("the only look is next after it was taken: %v", err)
	}
	first, _, err := c.Again(nil)
	next, ok, err2 := c.Again(once)
	if !ok || err != nil || err2 != nil || next.Look != 0 || !(next.Information < first.Information) || !(next.Information > 0) {
		t.Errorf("again: %+v %v after %+v", next, ok, first)
	}
	weights, err := c.Weights([]Reading{{0, 0}, {0, 0}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "the other cause", weights[1], 0.01/0.82, 1e-6)
	sure := certain(t, []float64{1, 1}, []float64{1}, [][]int{{0, 1}})
	if _, ok, err := sure.Again(once); ok || err != nil {
		t.Errorf("a sure look is worth taking again: %v", err)
	}
	if _, _, err := c.Again([]Reading{{1, 0}}); err == nil {
		t.Error("a reading of a look that is not there is taken")
	}
}
