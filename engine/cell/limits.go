package cell

import "time"

// Limits bound what the cells of one lesson may use. A zero field has its
// default.
type Limits struct {
	// Time is how long they may run by the clock on the wall, 20 s by default.
	Time time.Duration

	// Memory is how many bytes they may use beside the interpreter, 512 MB by
	// default; less than 48 MB counts as 48 MB. On Linux the kernel sees to it.
	// Elsewhere the child looks every few milliseconds, so that a quick cell
	// may go beyond it for a moment.
	Memory int64

	// Output is how many bytes they may print, 1 MB by default.
	Output int

	// Result is how many bytes all that they tell may take when it is written
	// as JSON, 32 MB by default.
	Result int
}

const leastMemory = 48 << 20

func (l Limits) filled() Limits {
	if l.Time <= 0 {
		l.Time = 20 * time.Second
	}
	if l.Memory <= 0 {
		l.Memory = 512 << 20
	}
	l.Memory = max(l.Memory, leastMemory)
	if l.Output <= 0 {
		l.Output = 1 << 20
	}
	if l.Result <= 0 {
		l.Result = 32 << 20
	}
	return l
}
