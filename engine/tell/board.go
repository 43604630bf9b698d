package tell

import (
	"fmt"
	"maps"
	"slices"
)

// Board is a figure of a control board, drawn from the front, in states that
// cells brought it into. It says what a person would see, and nothing of how it
// is drawn.
type Board struct {
	Name   string
	Parts  []BoardPart
	States []BoardState // the first is what shows first
}

// BoardPart is a part that is seen from the front.
type BoardPart struct {
	Name, Kind string            // the kind is that of the wiring: "lamp", "key", "fuse"
	Text       string            `json:",omitempty"` // what is written on it
	Texts      map[string]string `json:",omitempty"` // the same in other languages
	Colour     string            `json:",omitempty"` // of a lamp
	Frame, Row int               // where it stands, from 1
	Stays      bool              `json:",omitempty"` // of a key: it stays where it is put

	Full   float64 `json:",omitempty"` // of a meter: its full scale, in Unit
	Within float64 `json:",omitempty"` // the largest error that its class allows
	Unit   string  `json:",omitempty"`
}

// BoardState is what a board does after an act, for some time.
type BoardState struct {
	Name  string
	Act   string   `json:",omitempty"` // what visitors do to bring it about, as a button says it
	Says  string   // what has been done, in a sentence
	From  []string `json:",omitempty"` // states in which that can be done
	Undo  string   `json:",omitempty"` // what puts it right, as a button says it
	Leads string   `json:",omitempty"` // the state that this leads to

	Seconds float64       // that it was watched
	Changes []BoardChange // in the order of time; those at 0 say what is not at rest
	Meters  []BoardMeter  `json:",omitempty"`
}

// BoardChange is something on a board that changes, at a time in s after the act.
type BoardChange struct {
	At       float64
	Part, Is string
}

// BoardMeter is what a meter reads in its unit, at even steps from the act to the end.
type BoardMeter struct {
	Part  string
	Reads []float64
}

// After gives the state with the names of those in which its act can be done.
func (s BoardState) After(states ...string) BoardState {
	s.From = append(slices.Clone(s.From), states...)
	return s
}

// Back gives the state with an act that puts it right, and the state that this
// leads to.
func (s BoardState) Back(act, state string) BoardState {
	s.Undo, s.Leads = act, state
	return s
}

// Is gives what a part is seen to do at the end of the state: "" where it is at
// rest.
func (s BoardState) Is(part string) string {
	is := ""
	for _, c := range s.Changes {
		if c.Part == part {
			is = c.Is
		}
	}
	return is
}

// What is on a board, in words that a BoardChange may use: of lamps, of relays
// and keys, of fuses and of bells.
var boardWords = [...]string{"dark", "dim", "lit", "burnt out", "down", "up", "blown", "silent", "rings"}

const (
	mostBoardParts   = 200
	mostBoardFrames  = 12
	mostBoardStates  = 12
	mostBoardSeconds = 30
)

// Board tells a figure of a control board: what is seen from its front, and its
// states, of which the first shows first. A wiring's Front and Show give both:
//
//	tell.Board("board", rest.Front(),
//		rest.At(1).Show("rest", "", "The set stands still."),
//		rest.Press("start").At(8).Show("runs", "Press start", "The set runs.").After("rest"))
func (s *Sheet) Board(name string, front []BoardPart, states ...BoardState) {
	s.name("board", name)
	bad := func(next, format string, args ...any) {
		panic(Misuse{fmt.Sprintf("board %q ", name) + fmt.Sprintf(format, args...), next})
	}
	if s.depth > 0 {
		bad("tell it outside the knob, with a state for each position worth showing", "is told under a knob")
	}
	if len(front) == 0 || len(front) > mostBoardParts {
		bad(fmt.Sprintf("give from 1 to %d; a part is seen whose place in parts.toml is written as in \"frame 1, row 2\"", mostBoardParts), "has %d parts on its front", len(front))
	}
	if len(states) == 0 || len(states) > mostBoardStates {
		bad(fmt.Sprintf("give from 1 to %d", mostBoardStates), "has %d states", len(states))
	}
	known, meters := map[string]BoardPart{}, 0
	for _, p := range front {
		if _, had := known[p.Name]; had || p.Name == "" {
			bad("give each part a name of its own", "has two parts called %q, or one without a name", p.Name)
		}
		known[p.Name] = p
		p.check(name)
		if p.Full > 0 {
			meters++
		}
	}
	names := map[string]bool{}
	for _, state := range states {
		if names[state.Name] || !nameForm.MatchString(state.Name) {
			bad(`use small letters, digits, dots and dashes, each name once, such as "fuse-out"`, "has a state called %q", state.Name)
		}
		names[state.Name] = true
	}
	for i, state := range states {
		leads := slices.Clone(state.From)
		if state.Undo != "" {
			leads = append(leads, state.Leads)
		}
		for _, other := range leads {
			if !names[other] {
				bad("name a state that is told with it", "has no state %q, which %q names", other, state.Name)
			}
		}
		if i > 0 && (state.Act == "" || len(state.From) == 0) {
			bad("say what visitors do, and After which states", "has a state %q to which nothing leads", state.Name)
		}
		if state.Says == "" {
			bad("say in a sentence what has been done", "has a state %q that says nothing", state.Name)
		}
		s.boardState(name, state, known, meters)
	}
	s.result.Boards = append(s.result.Boards, Board{Name: name, Parts: front, States: states})
}

func (p BoardPart) check(board string) {
	visible("the name of a part", "board", board, p.Name)
	visible("the kind of a part", "board", board, p.Kind)
	visible("the text on a part", "board", board, p.Text)
	for _, language := range slices.Sorted(maps.Keys(p.Texts)) {
		visible("the text on a part", "board", board, language)
		visible("the text on a part", "board", board, p.Texts[language])
	}
	visible("the colour of a part", "board", board, p.Colour)
	visible("the unit of a part", "board", board, p.Unit)
	finite("board", board, p.Full, p.Within)
	if p.Frame < 1 || p.Frame > mostBoardFrames || p.Row < 1 || p.Row > mostBoardParts || p.Full < 0 || p.Within < 0 {
		panic(Misuse{
			fmt.Sprintf("board %q cannot have a part in frame %d, row %d, with a full scale of %s", board, p.Frame, p.Row, short(p.Full)),
			fmt.Sprintf("frames go from 1 to %d", mostBoardFrames)})
	}
}

func (s *Sheet) boardState(board string, state BoardState, known map[string]BoardPart, meters int) {
	bad := func(next, format string, args ...any) {
		panic(Misuse{fmt.Sprintf("state %q of board %q ", state.Name, board) + fmt.Sprintf(format, args...), next})
	}
	visible("an act", "board", board, state.Act)
	visible("an act", "board", board, state.Undo)
	visible("a sentence", "board", board, state.Says)
	finite("board", board, state.Seconds)
	if !(state.Seconds > 0) || state.Seconds > mostBoardSeconds {
		bad("go on with At to a time after the act, which visitors will wait for", "lasts %s s; it can last up to %d s", short(state.Seconds), mostBoardSeconds)
	}
	at := 0.0
	for _, c := range state.Changes {
		finite("board", board, c.At)
		if _, ok := known[c.Part]; !ok || !slices.Contains(boardWords[:], c.Is) {
			bad("take it from a wiring's Show", "has %q %q, which cannot be", c.Part, c.Is)
		}
		if c.At < at || c.At > state.Seconds {
			bad("take it from a wiring's Show", "has its changes out of order")
		}
		at = c.At
	}
	s.count("board", board, len(state.Changes))
	for i, m := range state.Meters {
		finite("board", board, m.Reads...)
		again := slices.ContainsFunc(state.Meters[:i], func(o BoardMeter) bool { return o.Part == m.Part })
		if known[m.Part].Full <= 0 || again || len(m.Reads) < 2 {
			bad("take it from a wiring's Show", "has a meter %q that cannot be", m.Part)
		}
		s.count("board", board, len(m.Reads))
	}
	if len(state.Meters) != meters {
		bad("take it from a wiring's Show", "reads %d of %d meters", len(state.Meters), meters)
	}
}
