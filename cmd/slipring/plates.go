package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slipring/engine/card"
	"slipring/engine/circuit"
	"slipring/engine/diag"
	"slipring/engine/machine"
	"slipring/engine/reading"
)

// plates holds what readings say of the board's own meters against their plates,
// which stand with the parts of the wiring: one meter has one class. Readings
// mean such a meter where its name is a word of their instrument, as in "board
// voltmeter BV". A class that they leave out is that of the plate.
func plates(readings []reading.Reading, wiring *card.Wiring) (messages []diag.Message) {
	if wiring == nil {
		return nil
	}
	said := map[string]bool{} // once a meter and a file
	for i := range readings {
		r := &readings[i]
		p, ok := meterOf(wiring.Wiring.Parts, *r)
		if !ok {
			continue
		}
		plate, full := p.Values["class"], p.Values["full-scale"]
		limit := plate.SI * full.SI
		times, fits := machine.Multiple(r.SIUnit, full.Unit)
		written := fmt.Sprintf("%.4g %% of %.6g %s", 100*plate.SI, full.SI/times, full.Unit)
		switch key := p.Name + " " + r.File; {
		case said[key]:
		case !fits:
			said[key] = true
			messages = append(messages, diag.Message{File: r.File, Line: r.Line, Column: r.Column, Rule: reading.Rule,
				Text: fmt.Sprintf("%s shows %s, and this reading is in %s", p.Name, full.Unit, r.Unit), Hint: "name the meter that it was read with"})
		case r.Class == 0:
			r.Class = limit / math.Sqrt(3)
		case math.Abs(r.Class*math.Sqrt(3)/limit-1) > 1e-9:
			said[key] = true
			messages = append(messages, diag.Message{File: r.File, Line: r.Line, Column: r.Column, Rule: reading.Rule,
				Text: fmt.Sprintf("the class of %s is another than on its plate, %s (%s:%d)", p.Name, written, wiring.Parts, p.Line),
				Hint: "write class = " + written + ", leave class empty, or mend the plate among the parts"})
		}
	}
	return messages
}

// meterOf finds the meter of the board that a reading was taken with.
func meterOf(parts []circuit.Part, r reading.Reading) (circuit.Part, bool) {
	words := strings.Fields(r.Instrument)
	i := slices.IndexFunc(parts, func(p circuit.Part) bool {
		_, meter := p.Values["full-scale"]
		return meter && slices.Contains(words, p.Name)
	})
	if i < 0 {
		return circuit.Part{}, false
	}
	return parts[i], true
}
