package motion

import (
	"errors"
	"math"

	"slipring/engine/card"
	"slipring/render/scene"
)

// How far things of the whole set's drawing go, where the machine says only
// which way and when.
const (
	hammerSwing = 15.0 // degrees, to either side
	wireSway    = 9.0  // units of the sheet, to either side
	turnDashes  = 3    // dashes that a battery's current goes on in a turn
)

// whole moves the drawing of the whole demonstration. What the signals do not
// tell stands still.
func whole(c course, w words, s Settings) (Drawing, error) {
	if len(s.Scene.Parts) == 0 {
		return Drawing{}, errors.New("there is no drawing of the whole set to move: write it into scene.toml")
	}
	f := wholeFilm(c, w, s.Scene)
	if len(f.Parts) == 0 {
		return Drawing{}, errors.New("nothing in scene.toml moves with these signals")
	}
	data, err := f.encode()
	if err != nil {
		return Drawing{}, err
	}
	still := map[string][]string{}
	for name, all := range f.at(f.Still) {
		still[name] = []string{}
		for _, a := range all {
			still[name] = append(still[name], a.name, a.value)
		}
	}
	said := s.Scene.Say(w.Language())
	if s.Title != "" {
		said.Title = s.Title
	}
	told := w.Text("motion-whole.over", "turns", w.rounds(c))
	if _, ok := c.signals["governor contact"]; ok {
		told = sentences(told, w.contact(c, "governor contact", "motion-governor.closes"))
	}
	svg := scene.Draw(said, scene.Settings{ID: s.ID, Class: "motion-drawing", Language: w.Language(), Description: told, Still: still})
	note := w.Text("motion.slow", "times", w.number(float64(f.Slow), 0))
	if _, flows := f.Channels[scene.ByOutput]; flows {
		note = sentences(note, w.Text("motion-whole.dashes"))
	}
	return Drawing{SVG: svg, Data: data, Description: told, Note: note}, nil
}

// wholeFilm says how each thing of the drawing moves.
func wholeFilm(c course, w words, of card.Scene) *film {
	f := newFilm(c, w)
	f.channel(scene.ByShaft, c.sampled("shaft angle"), 1)
	if g, ok := c.signals["output current"]; ok {
		low, high, _, _ := c.extremes("output current")
		if most := max(high, -low); most > 0 {
			// A polarised bell's hammer lies at the one gong while the current flows
			// one way, and at the other while it flows back; it flies in between.
			f.channel(scene.ByHammer, each(c.sampled("output current"), func(y float64) float64 { return math.Tanh(4 * y / most) }), hammerSwing)
		}
		f.channel(scene.ByOutput, swayed(c.carried(g.At)), wireSway)
	}
	if g, ok := c.signals["armature current"]; ok {
		drift := c.carried(g.At)
		if end := drift[len(drift)-1]; end != 0 {
			goal := scene.Dash * turnDashes * max(1, math.Round(c.turns))
			f.channel(scene.ByBattery, drift, math.Abs(goal/end))
		}
	}
	if _, ok := c.signals["governor contact"]; ok {
		f.follow(scene.ByGovernor, c.closures("governor contact"))
	}
	f.Still = c.from
	for _, m := range scene.Moves(of) {
		_, flows := f.Channels[m.By]
		_, switches := f.Switches[m.By]
		if !flows && !switches {
			continue
		}
		p := part{Part: m.Part, Does: string(m.Does), By: m.By, X: m.X, Y: m.Y}
		switch m.Does {
		case scene.Slides:
			p.Factor = -1 // a greater offset draws dashes farther back
		case scene.Shows:
			p.When = 1
		}
		f.add(p)
	}
	f.Still = micro(f.Still)
	if f.Ends = !f.joins(); !f.Ends {
		f.Words.Again = ""
	}
	return f
}

func each(values []float64, f func(float64) float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = f(v)
	}
	return out
}

// carried sums up a current from frame to frame: how much it has carried since
// the first.
func (c course) carried(at func(float64) float64) []float64 {
	const fine = 16 // steps in a frame
	step := c.span / float64(c.frames-1) / fine
	out := make([]float64, c.frames)
	sum := 0.0
	for i := 1; i < c.frames; i++ {
		for k := range fine {
			sum += step * at(c.instant(i-1)+(float64(k)+0.5)*step)
		}
		out[i] = sum
	}
	return out
}

// swayed scales what an alternating current has carried to lie between -1 and
// 1. A current that does not return to where it began is left at rest.
func swayed(carried []float64) []float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range carried {
		low, high = min(low, v), max(high, v)
	}
	if high == low {
		return carried
	}
	return each(carried, func(v float64) float64 { return 2*(v-low)/(high-low) - 1 })
}
