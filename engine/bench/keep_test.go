package bench

import (
	"encoding/json"
	"fmt"
	"os"
	"reflect"
	"testing"

	"slipring/engine/card"
	"slipring/engine/machine"
)

func read(t *testing.T, name string) machine.Card {
	t.Helper()
	file := "../machine/testdata/" + name + ".toml"
	source, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	c, messages := card.Read(file, source)
	for _, m := range messages {
		t.Fatal(m)
	}
	return c
}

// A run that was kept by one shelf and recalled by another shows the same, and
// draws the same traces to the last bit.
func TestRecalledRunsAreTheSame(t *testing.T) {
	cards := []machine.Card{read(t, "whole-set"), read(t, "ac-driven-twin"), read(t, "governed-motor")}
	scenarios := map[string]func(s *Shelf) *Run{
		"steady": func(s *Shelf) *Run { return s.Open("whole-set").Steady(machine.Load{Resistance: 47}) },
		"what-if": func(s *Shelf) *Run {
			return s.Open("whole-set").WithConstant("governor.damping", 0.2).Steady(machine.Load{})
		},
		"hysteresis": func(s *Shelf) *Run {
			return s.Open("whole-set").WithConstant("regulator.contact-hysteresis", 20e-6).Steady(machine.Load{})
		},
		"no gravity": func(s *Shelf) *Run {
			return s.Open("governed-motor").WithoutGravity().Steady(machine.Load{Torque: 0.3})
		},
		"held":           func(s *Shelf) *Run { return s.Open("governed-motor").Held(19.9) },
		"step":           func(s *Shelf) *Run { return s.Open("whole-set").Step(machine.Load{}, machine.Load{Bells: 5}, 1) },
		"fault":          func(s *Shelf) *Run { return s.Open("whole-set").Fault("motor field open", machine.Load{}, 1) },
		"sag":            func(s *Shelf) *Run { return s.Open("whole-set").Sag(machine.Load{}, 2, 0.5, 1) },
		"coast":          func(s *Shelf) *Run { return s.Open("whole-set").Coast(machine.Load{}, 1) },
		"start":          func(s *Shelf) *Run { return s.Open("whole-set").Start(2) },
		"with a starter": func(s *Shelf) *Run { return s.Open("whole-set").StartWith(12, 8, 3) },
		"build-up":       func(s *Shelf) *Run { return s.Open("whole-set").BuildUp(20, 1) },
		"mains":          func(s *Shelf) *Run { return s.Open("ac-driven-twin").Step(machine.Load{}, machine.Load{Torque: 1}, 1) },
	}
	for name, scenario := range scenarios {
		t.Run(name, func(t *testing.T) {
			first := New(cards)
			made := scenario(first)
			if len(first.Kept()) != 1 {
				t.Fatalf("%d runs kept, want 1", len(first.Kept()))
			}
			second := New(cards)
			second.Recall(first.Kept())
			recalled := scenario(second)
			if len(second.Kept()) != 0 {
				t.Fatal("the run was made anew")
			}
			a, b := *made, *recalled
			a.from, b.from = nil, nil
			if fmt.Sprint(a) != fmt.Sprint(b) { // NaN is not equal to itself
				t.Errorf("recalled %+v\nmade %+v", b, a)
			}
			names := []string{"speed", "output"}
			if !reflect.DeepEqual(made.Traces(names...).Window(0, 0.9), recalled.Traces(names...).Window(0, 0.9)) {
				t.Error("the traces differ")
			}
		})
	}
}

// What was kept for one machine is not recalled for another, nor are words
// that are no run.
func TestOnlyTheSameMachineIsRecalled(t *testing.T) {
	card := read(t, "governed-motor")
	first := New([]machine.Card{card})
	want := first.Open("governed-motor").Steady(machine.Load{Torque: 0.3}).Frequency
	changed, err := card.With("shaft.friction", 0.2)
	if err != nil {
		t.Fatal(err)
	}
	second := New([]machine.Card{changed})
	second.Recall(first.Kept())
	if got := second.Open("governed-motor").Steady(machine.Load{Torque: 0.3}).Frequency; got == want {
		t.Error("another machine was given this one's run")
	}
	for _, bad := range []string{`{}`, `[]`, `{"From":{"State":[1]}}`, `nonsense`} {
		damaged := map[string]json.RawMessage{}
		for key := range first.Kept() {
			damaged[key] = json.RawMessage(bad)
		}
		third := New([]machine.Card{card})
		third.Recall(damaged)
		if got := third.Open("governed-motor").Steady(machine.Load{Torque: 0.3}).Frequency; got != want {
			t.Errorf("with %s kept: %g, want %g", bad, got, want)
		}
	}
}

// A cell that writes into the card it was shown changes nothing but its copy.
func TestCardIsACopy(t *testing.T) {
	set := New([]machine.Card{read(t, "governed-motor")}).Open("governed-motor")
	c := set.Card()
	c.Put("shaft", "friction", machine.Given{Value: 100, Unit: "N m"})
	if got := set.Constant("shaft.friction"); got == 100 {
		t.Error("the machine's friction was changed through its card")
	}
}
