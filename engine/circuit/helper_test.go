package circuit_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/circuit"
)

// lay reads a wiring in short: a line is a part, its kind and its constants in SI
// units, or it joins terminals with wires, one after the other.
func lay(text string) (w circuit.Wiring) {
	for line := range strings.Lines(text) {
		words := strings.Fields(line)
		switch {
		case len(words) == 0:
		case strings.Contains(words[0], "."):
			for i, to := range words[1:] {
				w.Wires = append(w.Wires, circuit.Wire{Name: fmt.Sprintf("W%d", len(w.Wires)+1), From: words[i], To: to})
			}
		default:
			p := circuit.Part{Name: words[0], Kind: words[1], Values: map[string]circuit.Value{}}
			if p.Kind == "lamp" {
				p.Text, p.Colour = p.Name, "white"
			}
			for _, pair := range words[2:] {
				key, value, _ := strings.Cut(pair, "=")
				number, _ := strconv.ParseFloat(value, 64)
				switch key {
				case "contacts":
					p.Contacts = strings.Split(value, ",")
				case "terminals":
					p.Terminals = int(number)
				case "card":
					p.Card = value
				case "colour":
					p.Colour = value
				default:
					p.Values[key] = circuit.Value{SI: number}
				}
			}
			w.Parts = append(w.Parts, p)
		}
	}
	return w
}

const quick = " resistance=1000 pick-up=0.02 release=0.01 pick-up-time=0.02 release-time=0.01"

// board puts a sound wiring to work.
func board(t testing.TB, text string) *circuit.Board {
	t.Helper()
	w := lay(text)
	for _, f := range w.Check() {
		t.Fatal(f.Reason)
	}
	b, err := circuit.New(w)
	must(t, err)
	return b
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func amps(t testing.TB, b *circuit.Board, part string) float64 {
	t.Helper()
	x, err := b.Amps(part)
	must(t, err)
	return x
}

func near(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %v, want %v within %v", what, got, want, within)
	}
}
