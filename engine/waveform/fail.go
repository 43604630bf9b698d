package waveform

import (
	"errors"
	"fmt"
	"math"
)

// The reasons for which a signal cannot be measured. A Failure wraps one of
// them, so errors.Is tells them apart.
var (
	ErrTooFew        = errors.New("too few samples")
	ErrNotFinite     = errors.New("a value is not a usable number")
	ErrOutOfOrder    = errors.New("the instants do not rise")
	ErrFlat          = errors.New("the signal is flat")
	ErrNoPeriod      = errors.New("no whole period")
	ErrNoFundamental = errors.New("nothing at the fundamental")
	ErrOutside       = errors.New("outside the signal")
	ErrRequest       = errors.New("the request makes no sense")
)

// Failure says which signal could not be measured, why, and what to try.
type Failure struct {
	Signal string // its name, or "" for a set or a sound
	Reason error  // one of the Err values above
	Detail string // what was seen
	Next   string // the next step
}

func (f *Failure) Error() string {
	if f.Signal == "" {
		return fmt.Sprintf("%v: %s", f.Reason, f.Detail)
	}
	return fmt.Sprintf("signal %q: %v: %s", f.Signal, f.Reason, f.Detail)
}

// Unwrap returns the reason.
func (f *Failure) Unwrap() error { return f.Reason }

func (g Signal) fail(reason error, next, format string, args ...any) error {
	return &Failure{Signal: g.Name, Reason: reason, Detail: fmt.Sprintf(format, args...), Next: next}
}

// Bounds of values, instants and spans, so that squares and inverses of them
// stay finite.
const (
	most  = 1e150
	least = 1e-150
)

// check says whether the signal can be measured at all: two samples or more,
// usable numbers, and instants that rise. Two samples at one instant are a
// jump and pass; a signal that takes no time does not.
func (g Signal) check() error {
	const again = "record the signal again, or mend the file that it came from"
	if len(g.T) != len(g.Y) {
		return g.fail(ErrTooFew, again, "%d instants but %d values", len(g.T), len(g.Y))
	}
	if len(g.T) < 2 {
		return g.fail(ErrTooFew, "record a longer stretch", "%d where at least 2 are needed", len(g.T))
	}
	for i, t := range g.T {
		if !(math.Abs(t) <= most) {
			return g.fail(ErrNotFinite, again, "sample %d is at %g s", i, t)
		}
		if !(math.Abs(g.Y[i]) <= most) {
			return g.fail(ErrNotFinite, again, "sample %d, at %g s, is %g", i, t, g.Y[i])
		}
		if i > 0 && t < g.T[i-1] {
			return g.fail(ErrOutOfOrder, again, "sample %d is at %g s, after one at %g s", i, t, g.T[i-1])
		}
	}
	if !(g.T[len(g.T)-1]-g.T[0] > least) {
		return g.fail(ErrOutOfOrder, again, "all %d samples are at %g s", len(g.T), g.T[0])
	}
	return nil
}
