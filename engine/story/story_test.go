package story

import (
	"slices"
	"strings"
	"testing"

	"slipring/engine/cell/symbols"
)

// What an equation says that it computes is a name of the engine, and what
// decides a figure of a run is an equation.
func TestNames(t *testing.T) {
	keys := map[string]bool{}
	for _, p := range Parts() {
		for _, e := range p.Equations {
			keys[e.Key] = true
			for _, name := range e.By {
				if _, ok := symbols.Doc(name); !ok {
					t.Errorf("%s is computed by %s, which is nothing that cells know", e.Key, name)
				}
			}
		}
	}
	for _, p := range Parts() {
		for _, e := range p.Equations {
			for _, s := range e.Symbols {
				if s.Equation != "" && !keys[s.Equation] {
					t.Errorf("%s: there is no equation %s", e.Key, s.Equation)
				}
			}
		}
	}
	run, _ := symbols.Doc("bench.Run")
	for _, f := range run.Fields {
		name := "bench.Run." + f.Name
		got := Decides(name)
		if len(got) == 0 && name != "bench.Run.Seconds" { // which the cell itself chose
			t.Errorf("nothing decides %s", name)
		}
		for _, key := range got {
			if !keys[key] {
				t.Errorf("%s is decided by %s, which is no equation", name, key)
			}
		}
	}
}

func TestDecides(t *testing.T) {
	for name, first := range map[string]string{
		"bench.Run.Frequency":              "shaft.balance",
		"bench.Run.Traces output":          "generator.rings",
		"bench.Set.OpenFractionRule":       "governor.open",
		"machine.Tone.Frequency":           "low-tone.pitch",
		"wiring.Loop.Drop":                 "wire.drop",
		"machine.Magnetization.BuildsUpTo": "generator.builds-to",
	} {
		if got := Decides(name); len(got) == 0 || got[0] != first {
			t.Errorf("%s is decided by %q, want %s first", name, got, first)
		}
	}
	if got := Decides("governor.open"); got != nil {
		t.Errorf("no name is decided by %q", got)
	}
	if got := Decides("machine.Governor.OpenFraction"); !slices.Contains(got, "governor.swing") {
		t.Errorf("the open fraction leans on %q", strings.Join(got, " "))
	}
}

func TestConstants(t *testing.T) {
	for name, want := range map[string]string{
		"machine.Governor.SpringFrequency": "governor.spring-frequency", "machine.Tone.Teeth": "low-tone.teeth",
		"bench.Set.FullLoad": "full-load.bells full-load.lamp-resistance", "machine.Load.Bells": "", "bench.Run.Frequency": "", "machine.Gravity": "",
	} {
		if got := strings.Join(Constants(name), " "); got != want {
			t.Errorf("%s stands for %q, want %q", name, got, want)
		}
	}
}
