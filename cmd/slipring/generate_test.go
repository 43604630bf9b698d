package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// generate writes a folder of n lessons, each of the shape of the shipped one
// about the governor: the machine idle and under a load of its own, values,
// claims, a chart, a figure, readings, a question and a panel for visitors. It
// gives the folder's name.
func generate(t testing.TB, n int) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "lessons")
	if err := generateIn(dir, n); err != nil {
		t.Fatal(err)
	}
	return dir
}

func generateIn(dir string, n int) error {
	// The set of the engine's tests, under the name that the scripts know.
	card, err := os.ReadFile(filepath.Join(root, "engine", "machine", "testdata", "whole-set.toml"))
	if err != nil {
		return err
	}
	files := map[string]string{
		"house.toml":                  house + rotating,
		"cards/bell-current-set.toml": strings.Replace(string(card), `name = "whole-set"`, `name = "bell-current-set"`, 1),
	}
	for i := range n {
		folder := fmt.Sprintf("%03d-load-%d/", i, i)
		files[folder+"lesson.md"] = generated(i)
		files[folder+"readings.csv"] = "# Invented for this test.\nload (ohm),speed (Hz)\n47,19.85\n"
	}
	for name, text := range files {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// generated is the text of one generated lesson.
func generated(i int) string {
	return strings.NewReplacer(
		"LOAD", fmt.Sprintf("%.2f", 47+0.05*float64(i)),
		"NUMBER", fmt.Sprint(i),
	).Replace(generatedText)
}

const generatedText = "```lesson\n" + `title = "Load number NUMBER"
minutes = 5
hazards = ["rotating"]
data = ["readings.csv"]
` + "```\n" + `
# Load number NUMBER

` + "```caution rotating\n" + `Never reach for the governor while the shaft turns. Open the battery switch, lock it open, and wait until the shaft stands still.
` + "```\n" + `
The governor of this set is a contact that is either open or closed. It holds the speed all the same, whatever the set has to carry.

` + "```go\n" + `set := bench.Open("bell-current-set")
idle := set.Steady(machine.Load{})
busy := set.Steady(machine.Load{Resistance: LOAD})
tell.Value("idle.speed", idle.Frequency, "Hz")
tell.Value("busy.speed", busy.Frequency, "Hz")
tell.Value("idle.open", 100*idle.OpenFraction, "%")
tell.Within("holds", busy.Frequency, 20, 1.5, "%")
tell.Claim("once", idle.ClosuresPerTurn == 1 && busy.ClosuresPerTurn == 1)
tell.Claim("longer", busy.Frequency < idle.Frequency && busy.OpenFraction > idle.OpenFraction)
tell.Chart("contact", busy.Traces("governor contact", "output").Turns(3))
var speeds, rule []float64
for i := 0; i <= 60; i++ {
	f := 19.7 + 0.025*float64(i)
	speeds = append(speeds, f)
	rule = append(rule, 100*set.OpenFractionRule(f))
}
tell.Figure(tell.Figure{
	Name: "duty",
	X:    tell.Axis{Label: "shaft speed", Unit: "Hz"},
	Panes: []tell.Pane{{Y: tell.Axis{Label: "contact open", Unit: "%"}, Lines: []tell.Line{{Label: "rule", X: speeds, Y: rule}}}},
})
` + "```\n" + `
With nothing to carry the shaft makes [19.95 Hz][idle.speed], and the contact is open for [77.0 %][idle.open] of each turn. Under load it makes about [20 Hz][busy.speed] and [stays within 1.5 % of 20][holds].

![Three turns of the shaft under load: the governor contact above, the output below.](figure:contact)

![How much of the turn the contact is open, against shaft speed.](figure:duty)

![What was read at the set.](table:readings)

The contact [closes once in each turn][once].

` + "```question\n" + `ask = "The shaft turns a hair slower than before. What does the contact do?"
why = """
With a slower shaft the weight rests further in, and its swing reaches the contact for [a shorter part of the turn][longer].
"""

[[option]]
text = "It stays open a little longer in each turn."
when = "longer"

[[option]]
text = "It closes more often in each turn."
when = "not once"
but = "Gravity tugs once in each turn."
` + "```\n" + `
` + "```visitor\n" + `## A weight that says "a bit more"

A spinning weight keeps this machine in time. It can only switch on or off.

![The switch above, the bells below.](figure:contact)
` + "```\n"
