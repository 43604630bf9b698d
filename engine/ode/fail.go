package ode

import (
	"errors"
	"fmt"
)

// The reasons for which Advance gives up. A Failure wraps one of them, so
// errors.Is tells them apart.
var (
	ErrBudget       = errors.New("the step budget is spent")
	ErrZeno         = errors.New("too many crossings in too short a time")
	ErrStepTooSmall = errors.New("the step has become too small")
	ErrNotFinite    = errors.New("a value is not finite")
)

// Failure says where Advance gave up: the time reached and the step that was
// being tried there. The solver's state is that of the time reached.
type Failure struct {
	Reason error   // one of the Err values above
	Time   float64 // t
	Step   float64 // h
	Detail string  // what was seen, and what to try next
}

func (f *Failure) Error() string {
	return fmt.Sprintf("ode: at t = %.12g with step h = %.3g: %v: %s", f.Time, f.Step, f.Reason, f.Detail)
}

// Unwrap returns the reason.
func (f *Failure) Unwrap() error { return f.Reason }

func (s *Solver) fail(reason error, h float64, format string, args ...any) error {
	return &Failure{Reason: reason, Time: s.t, Step: h, Detail: fmt.Sprintf(format, args...)}
}
