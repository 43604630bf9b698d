package bench

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/circuit"
	"slipring/engine/tell"
)

// frontForm is the place of a part that is seen from the front.
var frontForm = regexp.MustCompile(`^frame ([0-9]{1,4}), row ([0-9]{1,4})$`)

// Front gives what is seen of the board from its front, for tell.Board: all parts
// whose place is a frame and a row, in the order of the parts.
func (w *Wiring) Front() (front []tell.BoardPart) {
	meters := w.boardNow().Seen().Meters
	for _, p := range w.shelf.wiring.Parts {
		m := frontForm.FindStringSubmatch(p.Place)
		if m == nil {
			continue
		}
		one := tell.BoardPart{Name: p.Name, Kind: p.Kind, Text: p.Text, Texts: p.Texts, Colour: p.Colour, Stays: p.Stays}
		one.Frame, _ = strconv.Atoi(m[1]) // digits, by the form
		one.Row, _ = strconv.Atoi(m[2])
		if i := slices.IndexFunc(meters, func(s circuit.MeterSeen) bool { return s.Part == p.Name }); i >= 0 {
			one.Full, one.Within, one.Unit = p.Values["full-scale"].SI, meters[i].Within, meters[i].Unit
		}
		front = append(front, one)
	}
	return front
}

// How finely a board is watched for tell.Board: meters are read so often, in s;
// and so long after an act, in s, it counts as done.
const (
	readEvery = 0.1
	actDone   = 1e-6
)

// Show gives what is seen of the board from the last act until now, as a state of
// tell.Board: its name, what visitors do to bring it about ("" for the first), and
// a sentence that says what has been done. Before any act it gives the last
// second.
func (w *Wiring) Show(name, act, says string) tell.BoardState {
	from := max(0, w.now-1)
	for _, a := range w.acts {
		if !strings.HasPrefix(a.what, byItself) && a.at <= w.now {
			from = a.at
		}
	}
	if w.now-from < readEvery {
		panic(tell.Misuse{
			Text: fmt.Sprintf("nothing is to be seen of the state %q: it is shown at the moment of the act", name),
			Hint: "go on for some seconds, such as .At(" + strconv.FormatFloat(w.now+2, 'g', -1, 64) + ")"})
	}
	out := tell.BoardState{Name: name, Act: act, Says: says, Seconds: w.now - from}
	front := w.Front()
	reads := map[string][]float64{}
	steps := int(math.Ceil(out.Seconds / readEvery))
	var stops []stop
	for i := range steps + 1 {
		at := from + actDone + (out.Seconds-actDone)*float64(i)/float64(steps)
		if i == steps {
			at = w.now
		}
		stops = append(stops, stop{at, func(b *circuit.Board) {
			seen := b.Seen()
			for _, m := range seen.Meters {
				reads[m.Part] = append(reads[m.Part], m.Reads)
			}
			if i == 0 {
				out.Changes = beginning(front, b, seen)
			}
		}})
	}
	w.boardNow()
	names, sets := w.sets()
	b, _, err := w.play(names, w.given, sets, w.now, stops...)
	if err != nil {
		panic(misuseOfWiring(err))
	}
	for _, e := range b.Events() {
		if e.At > from+actDone && slices.ContainsFunc(front, func(p tell.BoardPart) bool { return p.Name == e.Part }) {
			out.Changes = append(out.Changes, tell.BoardChange{At: e.At - from, Part: e.Part, Is: string(e.Is)})
		}
	}
	for _, p := range front {
		if p.Full > 0 {
			out.Meters = append(out.Meters, tell.BoardMeter{Part: p.Name, Reads: reads[p.Name]})
		}
	}
	return out
}

// beginning lists what of a board's front is not at rest.
func beginning(front []tell.BoardPart, b *circuit.Board, seen circuit.Seen) (out []tell.BoardChange) {
	for _, p := range front {
		is := circuit.State("")
		if i := slices.IndexFunc(seen.Lamps, func(l circuit.LampSeen) bool { return l.Part == p.Name }); i >= 0 && seen.Lamps[i].Is != circuit.Dark {
			is = seen.Lamps[i].Is
		}
		switch {
		case slices.Contains(seen.Bells, p.Name):
			is = circuit.Rings
		case b.Pressed(p.Name) && p.Kind == "fuse":
			is = circuit.Blown
		case b.Pressed(p.Name):
			is = circuit.Up
		}
		if is != "" {
			out = append(out, tell.BoardChange{Part: p.Name, Is: string(is)})
		}
	}
	return out
}
