package tell

import "fmt"

// Bounds say how much a sheet takes. A zero field has its default. They keep a
// slip in a cell from making pages that no browser can open; what is refused
// names the flag of the command that allows more.
type Bounds struct {
	// Frames is how many positions a knob may have, and how many frames the two
	// knobs of a figure may make together; MostFrames by default.
	Frames int

	// Points is how many points the figures, tables and motions of a lesson may
	// have together, counted in each frame: points of lines, entries of tables,
	// samples of signals. MostPoints by default.
	Points int
}

// The defaults of Bounds. A page draws 400 points of a line at most, whatever
// the line has; all of them go into its CSV file.
const (
	MostFrames = 120
	MostPoints = 500_000
)

// Bounded gives an empty sheet with bounds of its own. The zero Sheet has the
// default ones.
func Bounded(b Bounds) *Sheet { return &Sheet{bounds: b} }

func (b Bounds) frames() int {
	if b.Frames <= 0 {
		return MostFrames
	}
	return b.Frames
}

func (b Bounds) points() int {
	if b.Points <= 0 {
		return MostPoints
	}
	return b.Points
}

// count adds n points that a thing has.
func (s *Sheet) count(kind, name string, n int) {
	most := s.bounds.points()
	if n > most-s.points {
		panic(Misuse{
			fmt.Sprintf("with %s %q there are %d points in the lesson's figures and tables; the limit is %d", kind, name, s.points+n, most),
			"show a shorter stretch of time, or take larger steps in the loop that makes the points; the flag -points allows more"})
	}
	s.points += n
}
