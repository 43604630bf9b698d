package child

import (
	"time"

	"slipring/engine/tell"
)

// Limits bound what the cells of one lesson may use and hand over. A zero
// field has its default, which Defaults gives. Each has a flag of its name
// with the command, and a message about what exceeds it names that flag.
//
// On Linux the kernel holds the child to Memory. On macOS and Windows the
// child looks every few milliseconds itself, so that a quick cell may go
// beyond it for a moment. All others hold alike on every system.
type Limits struct {
	// Time is how long they may keep a processor busy: 60 s. By the clock on
	// the wall, ten times that is the end.
	Time time.Duration

	// Memory is how many bytes they may use beside the interpreter: 512 MB.
	// Less than 48 MB counts as 48 MB.
	Memory int64

	// Output is how many bytes all that they tell may take, written as JSON:
	// 32 MB. What the parent process needs to read it is bounded by this.
	Output int

	// Printed is how many bytes of text they may print: 1 MB.
	Printed int

	// Frames is how many positions a knob may have, and two knobs together:
	// 120.
	Frames int

	// Points is how many points the figures, tables and motions of a lesson may
	// have together, counted in each frame: 500,000.
	Points int
}

const leastMemory = 48 << 20

// Defaults gives the limits that hold where nothing else is said.
func Defaults() Limits {
	return Limits{
		Time:    60 * time.Second,
		Memory:  512 << 20,
		Output:  32 << 20,
		Printed: 1 << 20,
		Frames:  tell.MostFrames,
		Points:  tell.MostPoints,
	}
}

func (l Limits) filled() Limits {
	d := Defaults()
	if l.Time <= 0 {
		l.Time = d.Time
	}
	if l.Memory <= 0 {
		l.Memory = d.Memory
	}
	l.Memory = max(l.Memory, leastMemory)
	if l.Output <= 0 {
		l.Output = d.Output
	}
	if l.Printed <= 0 {
		l.Printed = d.Printed
	}
	if l.Frames <= 0 {
		l.Frames = d.Frames
	}
	if l.Points <= 0 {
		l.Points = d.Points
	}
	return l
}

// sheet gives the sheet that cells tell to.
func (l Limits) sheet() *tell.Sheet {
	return tell.Bounded(tell.Bounds{Frames: l.Frames, Points: l.Points})
}
