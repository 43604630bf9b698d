package reconcile_test

import (
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/circuit"
	"slipring/engine/reconcile"
)

var update = flag.Bool("update", false, "write the demonstration's drawings and readings anew")

// The demonstration's drawings are made from the wires that its board has in
// truth, which stand in testdata and nowhere else.
const (
	demoWiring = "../../lessons/wiring/"
	demoTruth  = "testdata/demo/true.csv"
)

// wire is a wire as a drawing has it.
type wire struct{ from, to, name, note string }

func (w wire) joins(terminal string) bool { return w.from == terminal || w.to == terminal }

func (w wire) same(o wire) bool {
	return w.from == o.from && w.to == o.to || w.from == o.to && w.to == o.from
}

func has(list []wire, w wire) bool { return slices.ContainsFunc(list, w.same) }

func partNamed(terminal string) string {
	part, _, _ := strings.Cut(terminal, ".")
	return part
}

// demoBoard gives the parts of the board, without wires, and its wires in truth.
func demoBoard(t testing.TB) (circuit.Wiring, []wire) {
	t.Helper()
	read := func(file string) []byte {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	parts, messages := card.ReadParts("parts.toml", read(demoWiring+"parts.toml"))
	for _, m := range messages {
		t.Fatal(m)
	}
	truth, messages := reconcile.ReadSheet("true", demoTruth, append([]byte("# title as it is\n# covers all\n"), read(demoTruth)...), parts)
	for _, m := range messages {
		t.Fatal(m)
	}
	var list []wire
	for _, d := range truth.Wires {
		list = append(list, wire{d.From, d.To, d.Wire, d.Note})
	}
	return parts, list
}

// without gives the wires of a board before some of its parts were added: what
// two wires joined through a terminal of such a part, one wire did.
func without(list []wire, parts ...string) []wire {
	list = slices.Clone(list)
	gone := func(terminal string) bool { return slices.Contains(parts, partNamed(terminal)) }
	for {
		i := slices.IndexFunc(list, func(w wire) bool { return gone(w.from) || gone(w.to) })
		if i < 0 {
			return list
		}
		first := list[i]
		at, other := first.from, first.to
		if !gone(at) {
			at, other = other, at
		}
		list = slices.Delete(list, i, i+1)
		k := slices.IndexFunc(list, func(w wire) bool { return w.joins(at) })
		if k < 0 {
			continue // it led to the part alone
		}
		if list[k].from == at {
			list[k].from = other
		} else {
			list[k].to = other
		}
		if list[k].from == list[k].to {
			list = slices.Delete(list, k, k+1)
		}
	}
}

// draughtsman draws a board, and is wrong here and there.
type draughtsman struct {
	*rand.Rand
	marks map[string][]string // of each part
}

// slips makes that many mistakes: a terminal beside the right one, a wire that
// is not drawn, and a colour that is another.
func (d draughtsman) slips(list []wire, moved, left, coloured int) []wire {
	list = slices.Clone(list)
	free := func(terminal string, all []wire) bool {
		return !slices.ContainsFunc(all, func(w wire) bool { return w.joins(terminal) })
	}
	for moved > 0 {
		w := &list[d.IntN(len(list))]
		marks := d.marks[partNamed(w.to)]
		to := partNamed(w.to) + "." + marks[d.IntN(len(marks))]
		if to == w.to || to == w.from || has(list, wire{from: w.from, to: to}) || len(marks) < 3 || !free(to, list) && d.IntN(3) > 0 {
			continue
		}
		w.to = to
		moved--
	}
	for range left {
		i := d.IntN(len(list))
		list = slices.Delete(list, i, i+1)
	}
	for coloured > 0 {
		w := &list[d.IntN(len(list))]
		other := colours[d.IntN(len(colours))].is
		if other == w.note {
			continue
		}
		w.note = other
		coloured--
	}
	return list
}

// colours are those of the insulation, by what a wire is for.
var colours = []struct{ of, is string }{
	{"minus", "black"}, {"plus", "red"}, {"motor", "red"}, {"starter", "red"}, {"bell current", "yellow"}, {"line", "green"}, {"tone", "grey"}, {"", "white"},
}

func inColour(list []wire) []wire {
	list = slices.Clone(list)
	for i := range list {
		for _, c := range colours {
			if strings.Contains(list[i].note, c.of) {
				list[i].note = c.is
				break
			}
		}
	}
	return list
}

// drawing is one of the demonstration's four.
type drawing struct {
	file, title, date string
	covers            []string // nil for all
	wires             []wire
}

// The parts that were added later: the watch on the battery in 1919, the key that
// changes over to the other set in 1930.
var (
	in1919 = []string{"K5", "S5", "H5"}
	in1930 = []string{"changeover", "S6", "H6"}
)

// drawings makes the four. B is copied from A and C from B, each with some of the
// mistakes of the one before put right and with some of its own; the fourth, which
// has no date, was drawn from the board, and shows two of its frames.
func drawings(t testing.TB) []drawing {
	parts, truth := demoBoard(t)
	d := draughtsman{rand.New(rand.NewPCG(1911, 1930)), map[string][]string{}}
	var all, early, middle, some []string
	for _, p := range parts.Parts {
		marks, err := p.Marks()
		if err != nil {
			t.Fatal(err)
		}
		d.marks[p.Name] = marks
		all = append(all, p.Name)
		late := slices.Contains(in1930, p.Name)
		if !late {
			middle = append(middle, p.Name)
		}
		if !late && !slices.Contains(in1919, p.Name) {
			early = append(early, p.Name)
		}
		if strings.HasPrefix(p.Place, "frame 2") || strings.HasPrefix(p.Place, "frame 3") {
			some = append(some, p.Name)
		}
	}
	truth = inColour(truth)
	// corrected copies a drawing: of what it has wrong, a share is put right, and
	// what was added to the board since is drawn.
	corrected := func(from, before, now []wire, share float64) []wire {
		var out []wire
		for _, w := range from {
			right := slices.IndexFunc(before, w.same)
			if right >= 0 && !has(now, w) {
				continue // the new part stands in its way
			}
			if right < 0 && d.Float64() < share {
				continue
			}
			out = append(out, w)
		}
		for _, w := range now {
			drawn := slices.ContainsFunc(from, func(o wire) bool { return o.name == w.name && w.name != "" })
			added := !has(before, w)
			if has(out, w) || !added && drawn && slices.ContainsFunc(out, func(o wire) bool { return o.name == w.name }) {
				continue
			}
			if added || drawn || d.Float64() < share {
				out = append(out, w)
			}
		}
		return out
	}
	was1911, was1919 := without(truth, append(slices.Clone(in1919), in1930...)...), without(truth, in1930...)
	a := d.slips(was1911, 9, 3, 4)
	b := d.slips(corrected(a, was1911, was1919, 0.5), 5, 1, 3)
	c := d.slips(corrected(b, was1919, truth, 0.5), 5, 3, 4)
	var seen []wire
	for _, w := range truth {
		if slices.Contains(some, partNamed(w.from)) && slices.Contains(some, partNamed(w.to)) {
			seen = append(seen, w)
		}
	}
	u := d.slips(seen, 7, 4, 5)
	for i := range u {
		u[i].name = ""
	}
	return []drawing{
		{"a.csv", "Drawing A, as the board was put up", "1911", early, a},
		{"b.csv", "Drawing B, with the watch on the battery", "1919", middle, b},
		{"c.csv", "Drawing C, with the key that changes over", "1930", all, c},
		{"d.csv", "Drawing D, in pencil, of frames 2 and 3", "undated", some, u},
	}
}

func (d drawing) text() string {
	var s strings.Builder
	fmt.Fprintf(&s, "# title %s\n# date %s\n# covers %s\n# Everything in this file is invented for the demonstration: there is no such drawing.\nfrom,to,wire,note\n",
		d.title, d.date, strings.Join(d.covers, " "))
	for _, w := range d.wires {
		fmt.Fprintf(&s, "%s,%s,%s,%s\n", w.from, w.to, w.name, w.note)
	}
	return s.String()
}

// tester gives what a tester shows on the board as it is in truth.
func tester(t testing.TB, parts circuit.Wiring, truth []wire, hold circuit.Hold) func(from, to string) bool {
	ways, err := parts.Ways(reconcile.Threshold, hold)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range truth {
		ways = append(ways, [2]string{w.from, w.to})
	}
	next := map[string][]string{}
	for _, w := range ways {
		next[w[0]], next[w[1]] = append(next[w[0]], w[1]), append(next[w[1]], w[0])
	}
	return func(from, to string) bool {
		seen, now := map[string]bool{from: true}, []string{from}
		for len(now) > 0 {
			at := now[0]
			now = now[1:]
			for _, n := range next[at] {
				if !seen[n] {
					seen[n], now = true, append(now, n)
				}
			}
		}
		return seen[to]
	}
}

// readings makes forty continuity readings as two volunteers took them on two
// Saturdays, wherever drawings differ. The 13th is open at a dirty terminal, and
// the 29th closed because the clip touched its neighbour: the board is otherwise.
func readings(t testing.TB, all []drawing) string {
	parts, truth := demoBoard(t)
	closed := tester(t, parts, truth, circuit.Hold{})
	var tried []wire
	for _, d := range all {
		for _, w := range d.wires {
			everywhere := !slices.ContainsFunc(all, func(o drawing) bool {
				shows := slices.Contains(o.covers, partNamed(w.from)) && slices.Contains(o.covers, partNamed(w.to))
				return shows && !has(o.wires, w)
			})
			if !everywhere && !has(tried, w) {
				tried = append(tried, w)
			}
		}
	}
	chance := rand.New(rand.NewPCG(2026, 9))
	chance.Shuffle(len(tried), func(i, k int) { tried[i], tried[k] = tried[k], tried[i] })
	text := "# Continuity readings of the control board, with all power off and the battery switch locked open.\n" +
		"# Everything in this file is invented for the demonstration; two of the readings are mistaken.\nfrom,to,reading,with,when,note\n"
	opens, closes := 0, 0
	for i := range 40 {
		w := tried[i]
		is := closed(w.from, w.to)
		if i == 12 { // the next that is closed in truth
			k := i + slices.IndexFunc(tried[i:], func(w wire) bool { return closed(w.from, w.to) })
			tried[i], tried[k] = tried[k], tried[i]
			w, is = tried[i], false
		}
		if i == 28 { // the next that is open
			k := i + slices.IndexFunc(tried[i:], func(w wire) bool { return !closed(w.from, w.to) })
			tried[i], tried[k] = tried[k], tried[i]
			w, is = tried[i], true
		}
		day, reading := "2026-09-12", "open"
		if i >= 20 {
			day = "2026-09-19"
		}
		if is {
			reading = "closed"
			closes++
		} else {
			opens++
		}
		text += fmt.Sprintf("%s,%s,%s,,%s,\n", w.from, w.to, reading, day)
	}
	t.Logf("%d wires are disputed; %d readings are closed, %d open", len(tried), closes, opens)
	return text
}

// The demonstration's drawings and readings are those that are made here. Each
// drawing is wrong in 5 to 15 % of its wires, in every way in which drawings are.
func TestDemoDrawings(t *testing.T) {
	_, truth := demoBoard(t)
	inTruth := inColour(truth)
	all := drawings(t)
	made := map[string]string{"continuity.csv": readings(t, all)}
	for _, d := range all {
		made[filepath.Join("sheets", d.file)] = d.text()
		wrong, other, missing := 0, 0, 0
		for _, w := range d.wires {
			i := slices.IndexFunc(inTruth, w.same)
			switch {
			case i < 0:
				wrong++
			case inTruth[i].note != w.note:
				other++
			}
		}
		for _, w := range truth {
			if slices.Contains(d.covers, partNamed(w.from)) && slices.Contains(d.covers, partNamed(w.to)) && !has(d.wires, w) {
				missing++
			}
		}
		share := float64(wrong+other) / float64(len(d.wires))
		t.Logf("%s: %d wires, %d of them not on the board, %d in another colour (%.1f %% wrong); %d of the board's are missing", d.title, len(d.wires), wrong, other, 100*share, missing)
		if share < 0.05 || share > 0.15 || wrong == 0 || other == 0 || missing == 0 {
			t.Errorf("%s: %.1f %% of its wires are wrong", d.title, 100*share)
		}
	}
	for name, text := range made {
		file := filepath.Join(demoWiring, name)
		if *update {
			if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if kept, err := os.ReadFile(file); err != nil || !bytes.Equal(kept, []byte(text)) {
			t.Errorf("%s is not what is made now (%v); -update writes it", name, err)
		}
	}
}
