package reconcile_test

import (
	"cmp"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"slipring/engine/circuit"
	"slipring/engine/reconcile"
	"slipring/engine/sweeptest"
)

var boards = flag.Int("boards", 0, "how many invented boards TestGoals tries, such as 200; few when left out")

// run is how one way of testing went on one board.
type run struct {
	readings, trips int
	cost            float64
	wrong, said     int // verdicts on drawn wires
	left            int // drawn wires without a verdict
}

// aTrip is how many tests go on one sheet.
const aTrip = 20

// trial is all ways of testing on one board.
type trial struct {
	byWire, shuffled, planned, search, knowing run
	floor                                      float64
}

// try invents a board and tests it in each way. Who knows the answers, and who
// tests in no order, take long, and try one board in four.
func try(t *testing.T, seed uint64, i int) (one trial) {
	random := rand.New(rand.NewPCG(seed, uint64(i)))
	b := invent(asDesigned, random)
	one.byWire = b.wireByWire(random)
	one.planned, one.search = b.planned(t, random)
	if i%4 == 0 {
		one.knowing, one.shuffled = b.knowing(t, random), b.shuffled(t, random)
	}
	one.floor = float64(b.floor())
	return one
}

// TestGoals holds the planner against ways of testing that people have, on
// invented boards of 60 parts and 120 wires with four drawings, with the goals of
// the design. A lower ratio would be a false one: it comes from calling a wire
// found because all drawings agree, which is wrong in 12 of 1,000 (from the
// design's prototype). Goals that are not met are said, and not loosened. Found
// from 0.995 on in place of 0.996 was tried on 48 boards, before the tests of a
// trip were chosen one upon the other: 1.24 in 1,000 were wrong and not 1.08.
// The design's 200 boards: go test ./engine/reconcile -run TestGoals -v -boards 200
// -timeout 2h. There two goals are open: the worst board takes 0.955 of the readings
// of wire by wire, where 0.95 is meant, and the worst takes 10 trips, where 8 are.
func TestGoals(t *testing.T) {
	n := cmp.Or(*boards, sweeptest.Count(2, 48))
	trials := make([]trial, n)
	t.Run("boards", func(t *testing.T) {
		for i := range n {
			t.Run(fmt.Sprint(i), func(t *testing.T) {
				t.Parallel()
				trials[i] = try(t, sweeptest.Seed(t), i)
			})
		}
	})
	of := func(get func(trial) float64) (list []float64) {
		for _, one := range trials {
			if x := get(one); x > 0 && !math.IsInf(x, 0) {
				list = append(list, x)
			}
		}
		return list
	}
	runs := func(get func(trial) run) (list []run) {
		for _, one := range trials {
			if r := get(one); r.readings > 0 {
				list = append(list, r)
			}
		}
		return list
	}
	planned := runs(func(o trial) run { return o.planned })
	var table strings.Builder
	fmt.Fprintf(&table, "%d boards\n%-22s %8s %6s %6s %6s %6s %12s %5s\n", n, "", "readings", "worst", "trips", "worst", "cost", "wrong/1,000", "left")
	for _, way := range []struct {
		name string
		runs []run
	}{
		{"wire by wire", runs(func(o trial) run { return o.byWire })},
		{"random order", runs(func(o trial) run { return o.shuffled })},
		{"planned", planned},
		{"knowing the answers", runs(func(o trial) run { return o.knowing })},
		{"then, for undrawn ones", runs(func(o trial) run { return o.search })},
	} {
		var readings, trips, cost, left []float64
		for _, r := range way.runs {
			readings, trips = append(readings, float64(r.readings)), append(trips, float64(r.trips))
			cost, left = append(cost, r.cost), append(left, float64(r.left))
		}
		fmt.Fprintf(&table, "%-22s %8.0f %6.0f %6.0f %6.0f %6.0f %12.2f %5.0f\n", way.name, median(readings), largest(readings), median(trips), largest(trips), median(cost), wrongIn1000(way.runs), median(left))
	}
	fmt.Fprintf(&table, "floor: %.0f closed readings prove every true wire (median)\n", median(of(func(o trial) float64 { return o.floor })))
	byWire := of(func(o trial) float64 { return float64(o.planned.readings) / float64(o.byWire.readings) })
	cost := of(func(o trial) float64 { return o.planned.cost / o.byWire.cost })
	knowing := of(func(o trial) float64 { return float64(o.planned.readings) / float64(o.knowing.readings) })
	trips := of(func(o trial) float64 { return float64(o.planned.trips) })
	fmt.Fprintf(&table, "cost against wire by wire: median %.3f\n", median(cost))
	for _, goal := range []struct {
		what      string
		got, most float64
	}{
		{"readings against wire by wire, median", median(byWire), 0.80},
		{"readings against wire by wire, worst", largest(byWire), 0.95},
		{"trips, worst", largest(trips), 8},
		{"readings against who knows the answers, worst", largest(knowing), 1.15},
		{"wrong in 1,000", wrongIn1000(planned), 1},
	} {
		met := "met"
		if !(goal.got <= goal.most) {
			met = "NOT MET"
			if sweeptest.All() && (*boards == 0 || *boards >= 48) { // a few boards say little of many
				t.Errorf("%s: %.3f, and the goal is at most %g", goal.what, goal.got, goal.most)
			}
		}
		fmt.Fprintf(&table, "goal: %s at most %g: %.3f, %s\n", goal.what, goal.most, goal.got, met)
	}
	t.Log(table.String())
	if m := median(byWire); !(m < 1) {
		t.Errorf("planned tests take %.2f times as many readings as wire by wire", m)
	}
}

func largest(list []float64) (most float64) {
	for _, x := range list {
		most = max(most, x)
	}
	return most
}

func median(list []float64) float64 {
	list = slices.Sorted(slices.Values(list))
	n := len(list)
	if n == 0 {
		return math.NaN()
	}
	return (list[n/2] + list[(n-1)/2]) / 2
}

func wrongIn1000(runs []run) float64 {
	wrong, said := 0, 0
	for _, r := range runs {
		wrong, said = wrong+r.wrong, said+r.said
	}
	return 1000 * float64(wrong) / float64(max(said, 1))
}

// cost is that of a test by the design of tests: half as much again between
// frames.
func (b *invented) cost(from, to string) float64 {
	frame := func(terminal string) string {
		name, _, _ := strings.Cut(terminal, ".")
		p, _ := b.parts.Part(name)
		f, _, _ := strings.Cut(p.Place, ",")
		return f
	}
	if frame(from) != frame(to) {
		return 1.5
	}
	return 1
}

// candidates are all drawn wires.
func (b *invented) candidates() (out [][2]string) {
	had := map[[2]string]bool{}
	for _, s := range b.sheets {
		for _, w := range s.Wires {
			if e := [2]string{min(w.From, w.To), max(w.From, w.To)}; !had[e] {
				had[e] = true
				out = append(out, e)
			}
		}
	}
	return out
}

// wireByWire rings out each drawn wire once, and believes what the tester shows.
func (b *invented) wireByWire(random *rand.Rand) (r run) {
	for _, w := range b.candidates() {
		r.readings++
		r.said++
		r.cost += b.cost(w[0], w[1])
		if b.reads(w[0], w[1], random) != b.has(w[0], w[1]) {
			r.wrong++
		}
	}
	r.trips = (r.readings + aTrip - 1) / aTrip
	return r
}

func (b *invented) board(t *testing.T) *reconcile.Board {
	t.Helper()
	board, err := reconcile.New(b.parts, b.sheets)
	if err != nil {
		t.Fatal(err)
	}
	return board
}

// take takes a reading on the true board.
func (b *invented) take(t *testing.T, r *run, board *reconcile.Board, from, to string, hold circuit.Hold, random *rand.Rand) {
	t.Helper()
	held := invented{net: b.netWith(t, hold)}
	shown := held.reads(from, to, random)
	if err := board.Take(reconcile.Reading{From: from, To: to, Hold: hold, Closed: shown}); err != nil {
		t.Fatal(err)
	}
	r.readings++
	r.cost += b.cost(from, to) + float64(len(hold.Out)+len(hold.Moved))
}

// netWith gives the true nets while parts are held or out.
func (b *invented) netWith(t *testing.T, hold circuit.Hold) map[string]string {
	t.Helper()
	if len(hold.Out)+len(hold.Moved) == 0 {
		return b.net
	}
	ways, err := b.parts.Ways(reconcile.Threshold, hold)
	if err != nil {
		t.Fatal(err)
	}
	return joined(append(ways, b.truth...))
}

// verdicts counts what is said of drawn wires, and how much of it is wrong.
func (b *invented) verdicts(r *run, board *reconcile.Board) {
	for _, j := range board.Judged() {
		if len(j.Sheets) == 0 {
			continue
		}
		switch j.Verdict {
		case reconcile.Found, reconcile.NotThere:
			r.said++
			if (j.Verdict == reconcile.Found) != b.has(j.From, j.To) {
				r.wrong++
			}
		default:
			r.left++
		}
	}
}

// planned takes the tests that the planner asks for, first those about drawn
// wires and then those that look for undrawn ones, which nobody does wire by wire.
func (b *invented) planned(t *testing.T, random *rand.Rand) (r, search run) {
	board := b.board(t)
	for {
		list := board.Next(aTrip)
		if len(list) == 0 || r.trips+search.trips > 40 {
			break
		}
		into := &r
		if list[0].Search {
			if search.trips == 0 {
				b.verdicts(&r, board)
			}
			into = &search
		}
		into.trips++
		for _, one := range list {
			b.take(t, into, board, one.From, one.To, one.Hold, random)
		}
	}
	if search.trips == 0 {
		b.verdicts(&r, board)
	}
	b.verdicts(&search, board)
	return r, search
}

// knowing takes the readings that somebody would who knows all answers.
func (b *invented) knowing(t *testing.T, random *rand.Rand) (r run) {
	board := b.board(t)
	for range 60 {
		list := board.Knowing(func(from, to string, hold circuit.Hold) bool {
			net := b.netWith(t, hold)
			return netOf(net, from) == netOf(net, to)
		})
		if len(list) == 0 {
			break
		}
		for _, one := range list {
			b.take(t, &r, board, one.From, one.To, one.Hold, random)
		}
	}
	r.trips = (r.readings + aTrip - 1) / aTrip
	b.verdicts(&r, board)
	return r
}

// shuffled rings out the drawn wires that are not certain, in no order.
func (b *invented) shuffled(t *testing.T, random *rand.Rand) (r run) {
	board := b.board(t)
	list := b.candidates()
	random.Shuffle(len(list), func(i, k int) { list[i], list[k] = list[k], list[i] })
	for range 3 {
		for _, w := range list {
			if board.Asked(w[0], w[1]) {
				b.take(t, &r, board, w[0], w[1], circuit.Hold{}, random)
			}
		}
	}
	r.trips = (r.readings + aTrip - 1) / aTrip
	b.verdicts(&r, board)
	return r
}

// floor is the fewest closed readings that prove every true wire: a net that is a
// tree, with what parts join as one node, has ceil(leaves/2) paths that cover it.
func (b *invented) floor() (n int) {
	way := joined(b.ways)
	degree, leaves := map[string]int{}, map[string]int{}
	for _, w := range b.truth {
		degree[netOf(way, w[0])]++
		degree[netOf(way, w[1])]++
	}
	for t, d := range degree {
		if d == 1 {
			leaves[netOf(b.net, t)]++
		}
	}
	for _, l := range leaves {
		n += (l + 1) / 2
	}
	return n
}
