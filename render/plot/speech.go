package plot

import (
	"gonum.org/v1/plot"

	"slipring/engine/tell"
	"slipring/render/words"
)

// speech is how a drawing words and writes what it says.
type speech struct {
	words *words.Words
	told  func(label string) string // what cells told, in the language of the words
}

func speechOf(s Settings) (speech, error) {
	out := speech{s.Words, s.Told}
	if out.words == nil {
		w, err := words.In("en")
		if err != nil {
			return out, err
		}
		out.words = w
	}
	if out.told == nil {
		out.told = func(label string) string { return label }
	}
	return out, nil
}

// axis gives an axis with its label as it is shown.
func (s speech) axis(a tell.Axis) tell.Axis {
	a.Label = s.told(a.Label)
	return a
}

// ticks gives marks with their numbers as they are shown.
func (s speech) ticks(marks []plot.Tick) []plot.Tick {
	for i := range marks {
		marks[i].Label = s.words.Localize(marks[i].Label)
	}
	return marks
}

// short writes a number with four significant digits.
func (s speech) short(x float64) string { return s.words.Localize(short(x)) }
