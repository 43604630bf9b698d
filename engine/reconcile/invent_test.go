package reconcile_test

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"slipring/engine/circuit"
	"slipring/engine/reconcile"
)

// invented is a board that nobody built: what is true of it, and its drawings.
type invented struct {
	parts  circuit.Wiring
	truth  [][2]string
	sheets []reconcile.Sheet
	ways   [][2]string
	net    map[string]string // terminals that are joined have the same
}

// plan says how boards are invented.
type plan struct {
	parts, wires int
	chain        float64 // chance that a net goes on by one wire more
	changed      float64 // part of wires changed since the drawings
}

// asDesigned is the board of the design: 60 parts and 120 wires.
var asDesigned = plan{parts: 60, wires: 120, chain: 0.3, changed: 0.02}

// invent makes a board and four drawings, each wrong in 5 to 15 % of its wires,
// with 40 to 80 % of each taken from the drawing before.
func invent(p plan, random *rand.Rand) *invented {
	b := &invented{parts: someParts(p.parts, random)}
	b.ways, _ = b.parts.Ways(reconcile.Threshold, circuit.Hold{})
	var terminals []string
	beside := map[string][]string{}
	for _, one := range b.parts.Parts {
		marks, _ := one.Marks()
		for i, m := range marks {
			name := one.Name + "." + m
			terminals = append(terminals, name)
			for k, o := range marks {
				if k != i && (one.Kind != "strip" || max(k-i, i-k) <= 2) {
					beside[name] = append(beside[name], one.Name+"."+o)
				}
			}
		}
	}
	then := trueWires(terminals, p, b.ways, random)
	moved := func(w [2]string) [2]string {
		end := random.IntN(2)
		near := beside[w[end]]
		w[end] = near[random.IntN(len(near))]
		return w
	}
	draw := func(slip float64) func(w [2]string) *[2]string {
		return func(w [2]string) *[2]string {
			switch {
			case random.Float64() >= slip:
				return &w
			case random.Float64() < 0.4:
				return nil
			}
			w = moved(w)
			return &w
		}
	}
	had := make([]*[2]string, len(then))
	var strays [][2]string // drawn where there never was one
	for i := range 4 {
		slip, copying := 0.05+0.1*random.Float64(), 0.4+0.4*random.Float64()
		fresh := draw(slip)
		s := reconcile.Sheet{Name: string(rune('a' + i)), Title: "invented", Date: fmt.Sprint(1911 + 8*i)}
		for k, w := range then {
			if i == 0 || random.Float64() >= copying {
				had[k] = fresh(w)
			}
			if had[k] != nil {
				s.Wires = append(s.Wires, reconcile.Drawn{From: had[k][0], To: had[k][1], Wire: fmt.Sprintf("W%d", k+1)})
			}
		}
		strays = slices.DeleteFunc(strays, func([2]string) bool { return random.Float64() >= copying })
		if random.Float64() < 0.02*float64(len(then))*(1-copying) {
			strays = append(strays, [2]string{terminals[random.IntN(len(terminals))], terminals[random.IntN(len(terminals))]})
		}
		for k, w := range strays {
			s.Wires = append(s.Wires, reconcile.Drawn{From: w[0], To: w[1], Wire: fmt.Sprintf("X%d", k+1)})
		}
		s.Wires = sound(s.Wires)
		b.sheets = append(b.sheets, s)
	}
	for _, w := range then {
		switch x := random.Float64(); {
		case x < p.changed*0.4: // taken away
		case x < p.changed:
			b.truth = append(b.truth, moved(w))
		default:
			b.truth = append(b.truth, w)
		}
	}
	b.net = joined(append(slices.Clone(b.ways), b.truth...))
	return b
}

// sound drops wires that no sheet may have.
func sound(list []reconcile.Drawn) []reconcile.Drawn {
	had := map[[2]string]bool{}
	return slices.DeleteFunc(list, func(d reconcile.Drawn) bool {
		e := [2]string{min(d.From, d.To), max(d.From, d.To)}
		twice := had[e]
		had[e] = true
		return twice || d.From == d.To
	})
}

// trueWires makes nets of chains: no wire joins what is joined already.
func trueWires(terminals []string, p plan, ways [][2]string, random *rand.Rand) (out [][2]string) {
	list := slices.Clone(ways)
	net := joined(list)
	ends := map[string]int{} // wires at a terminal
	last := ""
	for tries := 0; len(out) < p.wires && tries < 100*p.wires; tries++ {
		if last == "" || random.Float64() >= p.chain {
			last = terminals[random.IntN(len(terminals))]
		}
		next := terminals[random.IntN(len(terminals))]
		a, z := netOf(net, last), netOf(net, next)
		if a == z || ends[last] >= 2 || ends[next] >= 1 {
			continue
		}
		out = append(out, [2]string{last, next})
		for t, n := range net {
			if n == z {
				net[t] = a
			}
		}
		net[last], net[next] = a, a
		ends[last]++
		ends[next]++
		last = next
	}
	return out
}

func netOf(net map[string]string, t string) string {
	if n, ok := net[t]; ok {
		return n
	}
	return t
}

// joined gives each terminal of some joints the name of its net.
func joined(joints [][2]string) map[string]string {
	beside := map[string][]string{}
	for _, j := range joints {
		beside[j[0]], beside[j[1]] = append(beside[j[0]], j[1]), append(beside[j[1]], j[0])
	}
	net := map[string]string{}
	var spread func(t, name string)
	spread = func(t, name string) {
		if _, had := net[t]; had {
			return
		}
		net[t] = name
		for _, n := range beside[t] {
			spread(n, name)
		}
	}
	for t := range beside {
		spread(t, t)
	}
	return net
}

// reads gives what a tester shows: wrongly open in 1 %, wrongly closed in 0.3 %.
func (b *invented) reads(from, to string, random *rand.Rand) bool {
	if netOf(b.net, from) == netOf(b.net, to) {
		return random.Float64() >= 0.01
	}
	return random.Float64() < 0.003
}

// has says whether a wire is truly there.
func (b *invented) has(from, to string) bool {
	return slices.Contains(b.truth, [2]string{from, to}) || slices.Contains(b.truth, [2]string{to, from})
}

// someParts lists parts as a board has them; a fuse and a break contact are ways.
func someParts(n int, random *rand.Rand) (w circuit.Wiring) {
	value := func(x float64) circuit.Value { return circuit.Value{SI: x} }
	for i := range n {
		p := circuit.Part{Name: fmt.Sprintf("P%d", i+1)}
		switch x := random.Float64(); {
		case x < 0.1:
			p.Kind, p.Terminals = "strip", 12
		case x < 0.5:
			p.Kind = "relay"
			p.Contacts = []string{"13-14", "23-24"}
			if random.Float64() < 0.25 {
				p.Contacts[1] = "21-22"
			}
			p.Values = map[string]circuit.Value{"resistance": value(960), "pick-up": value(.02), "release": value(.01), "pick-up-time": value(.02), "release-time": value(.01)}
		case x < 0.75:
			p.Kind, p.Text, p.Colour = "lamp", p.Name, "white"
			p.Values = map[string]circuit.Value{"resistance": value(500), "voltage": value(48)}
		case x < 0.9:
			p.Kind, p.Contacts = "key", []string{"13-14"}
		default:
			p.Kind, p.Values = "fuse", map[string]circuit.Value{"resistance": value(.05), "melting-current": value(4), "melting-time": value(1)}
		}
		p.Place = fmt.Sprintf("frame %d, row %d", 1+i*4/n, 1+i%5)
		w.Parts = append(w.Parts, p)
	}
	return w
}
