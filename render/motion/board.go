package motion

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"slipring/engine/tell"
	"slipring/render/markup"
)

// Front is a control board as it stands in a page: frames that stand beside or
// below each other, drawn in the first of its states, and data from which the
// page's script shows the others as they come about.
type Front struct {
	SVG         string // of each frame
	Data        string // JSON that is safe inside a script element of type application/json
	Description string // what is on it, for a listener
	States      []FrontState
}

// FrontState is one state, as it is at its end.
type FrontState struct {
	Act, Says string // in the page's language; Act is empty for the first
	Reads     string // what the needles show; "" on a board without
	SVG       string // a small drawing without words
}

// DrawBoard draws a board. Told gives words of the lesson's cells as its pages
// print them. The same board gives the same bytes. Below the class front the style
// sheet has to know, beside what motions have: slate (a frame), lens with its
// colour and dark, dim or lit, ray (of what is lit or rings), face (of a meter),
// plate, label, gone (where a fuse is missing), worked (what is up or pressed).
func DrawBoard(b tell.Board, s Settings, told func(string) string) (Front, error) {
	w, err := s.say()
	if err != nil {
		return Front{}, fmt.Errorf("board %q: %w", b.Name, err)
	}
	frames, err := layOut(b.Parts, w.Language())
	if err != nil {
		return Front{}, err
	}
	out := Front{Description: w.onBoard(b)}
	data := boardData{Words: boardControls{w.Text("motion-board.group"), w.Text("motion-board.clock"), w.Decimal()}}
	for i, state := range b.States {
		f := boardFilm(b, frames, state)
		film, err := f.encode()
		if err != nil {
			return Front{}, err
		}
		seen, reads := w.seenOn(b, state)
		says := sentences(told(state.Says), seen)
		one := boardStateData{Act: told(state.Act), Undo: told(state.Undo), Leads: index(b, state.Leads), Says: says, Reads: reads, Film: json.RawMessage(film)}
		for _, name := range state.From {
			one.From = append(one.From, index(b, name))
		}
		data.States = append(data.States, one)
		out.States = append(out.States, FrontState{one.Act, says, reads, small(frames, s.ID, f)})
		if i == 0 {
			if out.SVG, err = large(frames, s.ID, f); err != nil {
				return Front{}, err
			}
		}
	}
	text, err := json.Marshal(data)
	out.Data = string(text)
	return out, err
}

// boardData is what the page's script reads.
type boardData struct {
	Words  boardControls    `json:"words"`
	States []boardStateData `json:"states"`
}

type boardControls struct {
	Group string `json:"group"` // of the buttons, for who listens
	Clock string `json:"clock"` // while time goes on; @ stands for the act, # for seconds since
	Mark  string `json:"mark"`  // of decimals
}

type boardStateData struct {
	Act   string          `json:"act,omitempty"`
	From  []int           `json:"from,omitempty"`
	Undo  string          `json:"undo,omitempty"`
	Leads int             `json:"leads"`
	Says  string          `json:"says"`
	Reads string          `json:"reads"`
	Film  json.RawMessage `json:"film"`
}

// boardFilm says how each thing on a board moves in a state. It is played as fast
// as the machine.
func boardFilm(b tell.Board, frames []boardFrame, state tell.BoardState) *film {
	f := &film{Span: micro(state.Seconds), Slow: 1, Still: micro(state.Seconds), Channels: map[string][]int{}, Switches: map[string]contact{}, Ends: true}
	for _, frame := range frames {
		for _, it := range frame.items {
			for _, is := range shows(it.BoardPart) {
				name := it.Name + "." + is
				f.Switches[name] = worked(state, it.Name, is)
				f.add(part{Part: name, Does: "show", By: name, When: 1})
				if is == "up" || is == "blown" {
					f.add(part{Part: it.Name + ".rest", Does: "show", By: name})
				}
			}
			for _, m := range state.Meters {
				if m.Part == it.Name {
					f.Frames = len(m.Reads)
					f.channel(it.Name, each(m.Reads, func(x float64) float64 { return math.Min(math.Max(x/it.Full, -0.04), 1.04)*2 - 1 }), meterSwing)
					x, y := it.pivot()
					f.add(part{Part: it.Name + ".needle", Does: "turn", By: it.Name, X: x, Y: y})
				}
			}
		}
	}
	return f
}

// meterSwing is how far, in degrees, a needle stands off the middle at either end
// of its scale.
const meterSwing = 52.0

// shows lists what a part can be seen to do.
func shows(p tell.BoardPart) []string {
	switch p.Kind {
	case "lamp":
		return []string{"dim", "lit"}
	case "bell":
		return []string{"rings"}
	case "fuse":
		return []string{"blown"}
	case "key", "relay", "detector", "contact", "flasher":
		return []string{"up"}
	}
	return nil
}

// worked gives when a part does something in a state.
func worked(state tell.BoardState, name, what string) contact {
	c, now := contact{}, false
	for _, one := range state.Changes {
		if one.Part != name || (one.Is == what) == now {
			continue
		}
		now = !now
		switch n := len(c.at); {
		case one.At == 0:
			c.first = 1 - c.first
		case n > 0 && c.at[n-1] == one.At: // there and back at once
			c.at = c.at[:n-1]
		default:
			c.at = append(c.at, one.At)
		}
	}
	return c
}

// large draws the frames of a board as they are at the end of a film.
func large(frames []boardFrame, id string, f *film) (string, error) {
	var out strings.Builder
	for _, frame := range frames {
		c := &canvas{still: f.at(f.Still)}
		// Its size in px is far above that of any page, so that frames beside each
		// other shrink alike.
		c.open("svg", "class", "frame", "xmlns", "http://www.w3.org/2000/svg", "viewBox", "0 0 "+markup.Tenths(frame.wide)+" "+markup.Tenths(frame.high),
			"width", markup.Tenths(4*frame.wide), "height", markup.Tenths(4*frame.high), "aria-hidden", "true", "focusable", "false")
		c.open("g", "id", fmt.Sprintf("%s.frame-%d", id, frame.number))
		c.element("rect", "class", "slate", "fill", "none", "stroke", "currentColor", "x", "1.5", "y", "1.5", "width", markup.Tenths(frame.wide-3), "height", markup.Tenths(frame.high-3), "rx", "6")
		for _, it := range frame.items {
			it.draw(c)
		}
		c.close("g")
		for _, it := range frame.items {
			it.drawMoving(c, false)
			it.write(c)
		}
		c.close("svg")
		if c.err != nil {
			return "", c.err
		}
		out.WriteString(c.String())
	}
	return out.String(), nil
}

// small draws all frames of a board side by side, without words.
func small(frames []boardFrame, id string, f *film) string {
	c := &canvas{still: f.at(f.Still)}
	wide, high := -gapAcross, 0.0
	for _, frame := range frames {
		wide += frame.wide + gapAcross
		high = max(high, frame.high)
	}
	c.open("svg", "class", "small-board", "xmlns", "http://www.w3.org/2000/svg", "viewBox", "0 0 "+markup.Tenths(wide)+" "+markup.Tenths(high), "aria-hidden", "true", "focusable", "false")
	x := 0.0
	for _, frame := range frames {
		c.open("g", "transform", "translate("+markup.Tenths(x)+" 0)")
		c.element("use", "href", fmt.Sprintf("#%s.frame-%d", id, frame.number))
		for _, it := range frame.items {
			it.drawMoving(c, true)
		}
		c.close("g")
		x += frame.wide + gapAcross
	}
	c.close("svg")
	return c.String()
}

// index gives the place of a state among those of its board; -1 for none.
func index(b tell.Board, name string) int {
	return slices.IndexFunc(b.States, func(s tell.BoardState) bool { return s.Name == name })
}
