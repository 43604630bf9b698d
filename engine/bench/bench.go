// Package bench is the machine as a lesson's cells see it.
//
//	set := bench.Open("bell-current-set")
//	idle := set.Steady(machine.Load{Torque: 0.3})
//	tell.Value("idle.speed", idle.Frequency, "Hz")
//
// Inside a cell, bench is the Shelf of that lesson's machine cards. Cells are
// interpreted, so everything that takes many steps is done here; each run is
// kept, so that asking twice costs nothing. Methods return values alone: what
// a cell asks for wrongly is told to the lesson's author at the cell's line.
package bench

import (
	"encoding/json"
	"fmt"
	"strings"

	"slipring/engine/circuit"
	"slipring/engine/cutting"
	"slipring/engine/machine"
	"slipring/engine/reading"
	"slipring/engine/reconcile"
	"slipring/engine/tell"
	"slipring/engine/waveform"
)

// Shelf holds the machine cards that cells may open.
type Shelf struct {
	cards    []machine.Card
	beside   Beside
	entered  []reading.Reading
	wiring   *circuit.Wiring
	plan     *cutting.Plan
	papers   *reconcile.Papers
	sets     map[string]wiredRun // that a wiring feeds
	agreed   []agreement         // of sets and wiring
	opened   []string
	runs     map[string]*Run
	recalled map[string]json.RawMessage // of earlier shelves
	fresh    map[string]json.RawMessage // made on this one
}

// New makes a shelf of cards, which must be valid.
func New(cards []machine.Card) *Shelf {
	return &Shelf{cards: cards, runs: map[string]*Run{}, fresh: map[string]json.RawMessage{}}
}

// Open gives the set that a card describes.
func (s *Shelf) Open(card string) *Set {
	var names []string
	for _, c := range s.cards {
		if c.Name == card {
			s.note(card)
			return &Set{shelf: s, card: c, key: card + " " + digest(c)}
		}
		names = append(names, c.Name)
	}
	panic(tell.Misuse{
		Text: fmt.Sprintf("there is no machine card called %q", card),
		Hint: "cards here: " + strings.Join(names, ", ")})
}

func (s *Shelf) note(card string) {
	for _, had := range s.opened {
		if had == card {
			return
		}
	}
	s.opened = append(s.opened, card)
}

// Opened gives the names of the cards that were opened, in order.
func (s *Shelf) Opened() []string { return s.opened }

// once gives the run kept under key, or makes it.
func (s *Shelf) once(key string, of recipe, make func() (*Run, error)) *Run {
	if r, ok := s.runs[key]; ok {
		return r
	}
	r := s.recall(key, of)
	if r == nil {
		var err error
		if r, err = make(); err != nil {
			panic(misuse(err))
		}
		s.keep(key, r)
	}
	s.runs[key] = r
	return r
}

func misuse(err error) tell.Misuse {
	if m, ok := err.(tell.Misuse); ok {
		return m
	}
	var next string
	switch e := err.(type) {
	case machine.Flaw:
		next = e.Next
	case machine.Standstill:
		next = e.Next
	case *waveform.Failure:
		next = e.Next
	default:
		next = "check the load and the changed constants, or ask for something nearer to the set as it is"
	}
	return tell.Misuse{Text: err.Error(), Hint: next}
}
