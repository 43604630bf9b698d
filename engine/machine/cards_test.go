package machine_test

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"slipring/engine/card"
	"slipring/engine/machine"
)

func readCard(t testing.TB, name string) machine.Card {
	t.Helper()
	file := filepath.Join("testdata", name+".toml")
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

// given is the constants of a part in a test.
type given = map[string]machine.Given

// parts makes the parts of a card out of their constants, or adds them to those
// that a card has.
func parts(c machine.Card, all map[string]given) machine.Card {
	c = c.Clone()
	for name, constants := range all {
		c.Fit(name)
		for key, g := range constants {
			c.Put(name, key, g)
		}
	}
	return c
}

// without gives a card that has lost some parts.
func without(c machine.Card, names ...string) machine.Card {
	c = c.Clone()
	c.Parts = slices.DeleteFunc(c.Parts, func(p machine.Part) bool { return slices.Contains(names, p.Name) })
	return c
}

// set gives a card with one value changed, in the unit that the card has.
func set(c machine.Card, name string, value float64) machine.Card {
	c = c.Clone()
	one, _ := c.Constant(name)
	one.Value = value
	c.Put(one.Part, one.Key, one.Given)
	return c
}

// model gives a part of a card with its constants as numbers.
func model[T any, P interface {
	*T
	machine.Model
}](c machine.Card, part string) T {
	var m T
	if !c.Read(part, P(&m)) {
		panic(part)
	}
	return m
}
