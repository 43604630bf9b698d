// Package machine is a governed bell-current set as equations: a shunt motor
// on a battery, held at its speed by a centrifugal contact governor, and on
// its shaft a self-excited generator with a vibrating voltage regulator, bells
// and rheostat for a load, and two tone wheels.
//
//	c := machine.Card{...}                 // read by engine/card
//	sim, err := machine.New(c, machine.Setup{}, machine.Load{Torque: 0.3})
//	err = sim.Settle()
//	sum, err := sim.Measure()              // frequency, open fraction, ...
//
// A machine is put together from the parts that its card names, of which there may
// be several of a kind. Each kind stands in a file of its own, with its constants,
// states, equations, signals, events, faults and energy, and in one line of kinds.
// Quantities are in SI units, save that speeds are in turns a second, which is also
// the frequency in Hz of the two-pole output.
//
// The package reads no files and draws nothing. What it computes has been
// compared with textbooks and with independent programs, never with a real
// machine.
package machine

// Version is the version of the model, raised by hand whenever a change of
// the equations could change a published number.
const Version = "1"

// Gravity is the pull of the earth on the governor's weight, in m/s2, rounded.
const Gravity = 9.81
