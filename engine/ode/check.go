package ode

import (
	"errors"
	"fmt"
	"math"
)

// Defaults of the zero Settings.
const (
	defaultRelTol     = 1e-6
	defaultMaxSteps   = 50_000_000
	defaultZenoEvents = 100
	defaultZenoWindow = 1e-3
)

func (p *Problem) check() error {
	if p.Dim < 1 {
		return fmt.Errorf("ode: the problem has dimension %d; it must be 1 or more", p.Dim)
	}
	if p.Derivative == nil {
		return errors.New("ode: the problem has no Derivative")
	}
	if len(p.Scale) != p.Dim {
		return fmt.Errorf("ode: Scale has %d entries for %d coordinates", len(p.Scale), p.Dim)
	}
	for i, v := range p.Scale {
		if !(v > 0) || math.IsInf(v, 0) {
			return fmt.Errorf("ode: Scale[%d] is %g; it must be positive and finite", i, v)
		}
	}
	for i, g := range p.Guards {
		if g.Coordinate < 0 || g.Coordinate >= p.Dim {
			return fmt.Errorf("ode: guard %d watches coordinate %d of %d", i, g.Coordinate, p.Dim)
		}
		if math.IsNaN(g.Level) {
			return fmt.Errorf("ode: the level of guard %d is not a number", i)
		}
	}
	return nil
}

// check also puts the defaults in.
func (s *Settings) check() error {
	if s.Method != DormandPrince54 && s.Method != DormandPrince8 {
		return fmt.Errorf("ode: there is no method %v", s.Method)
	}
	for _, v := range []struct {
		name    string
		value   *float64
		instead float64
	}{
		{"RelTol", &s.RelTol, defaultRelTol},
		{"FirstStep", &s.FirstStep, 0},
		{"MaxStep", &s.MaxStep, math.Inf(1)},
		{"ZenoWindow", &s.ZenoWindow, defaultZenoWindow},
	} {
		if !(*v.value >= 0) {
			return fmt.Errorf("ode: %s is %g; it must be positive, or 0 for the default", v.name, *v.value)
		}
		if *v.value == 0 {
			*v.value = v.instead
		}
	}
	if s.RelTol > 0.1 {
		return fmt.Errorf("ode: RelTol is %g; it must be 0.1 or less", s.RelTol)
	}
	if s.MaxSteps < 0 {
		return fmt.Errorf("ode: MaxSteps is %d; it must be positive, or 0 for the default", s.MaxSteps)
	}
	if s.MaxSteps == 0 {
		s.MaxSteps = defaultMaxSteps
	}
	if s.ZenoEvents == 0 {
		s.ZenoEvents = defaultZenoEvents
	}
	if s.ZenoEvents < 2 || s.ZenoEvents > 1_000_000 {
		return fmt.Errorf("ode: ZenoEvents is %d; it must lie between 2 and a million, or be 0 for the default", s.ZenoEvents)
	}
	return nil
}
