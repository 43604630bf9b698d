package card

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/machine"
)

var constantKeys = [...]string{"value", "unit", "from", "note", "date"}

// constant reads { value = ..., unit = ..., from = ..., note = ..., date = ... }.
func (r *reader) constant(part string, what machine.Description, d field) {
	line := fmt.Sprintf(`write it as %s = { value = ..., unit = %q, from = "assumed" }`, d.key, what.SIUnit)
	if d.value.kind != table {
		r.add(d.value.offset, "value", fmt.Sprintf("%s is %v, without unit and origin", d.key, d.value.kind), line)
		return
	}
	var given machine.Given
	seen := map[string]field{}
	for _, k := range d.value.fields {
		seen[k.key] = k
		switch k.key {
		case "value":
			if r.want(k, number) {
				given.Value = k.value.number
			}
		case "unit":
			if r.want(k, text) {
				given.Unit = k.value.text
			}
		case "from":
			if r.want(k, text) {
				given.Origin = machine.Origin(k.value.text)
			}
		case "note":
			if r.want(k, text) {
				given.Note = k.value.text
			}
		case "date":
			if r.want(k, date) {
				given.Date = k.value.text
			}
		default:
			known := constantKeys[:]
			r.add(k.offset, "unknown", fmt.Sprintf("unknown key %q in %s", k.key, d.key),
				hintNear(k.key, known, "known here are: "+strings.Join(known, ", ")))
		}
	}
	for _, k := range []string{"value", "unit", "from"} {
		if _, ok := seen[k]; !ok {
			r.add(d.offset, "missing", fmt.Sprintf("%s has no %s", d.key, k), line)
		}
	}
	if k, ok := seen["unit"]; ok && k.value.kind == text {
		if _, fits := machine.Multiple(what.SIUnit, given.Unit); !fits {
			r.add(k.value.offset, "unit", fmt.Sprintf("%q is no unit for %s", given.Unit, d.key),
				fmt.Sprintf("give the value in %s", machine.UnitChoices(what.SIUnit)))
		}
	}
	if k, ok := seen["from"]; ok && k.value.kind == text && !slices.Contains(machine.Origins(), given.Origin) {
		var known []string
		for _, p := range machine.Origins() {
			known = append(known, string(p))
		}
		r.add(k.value.offset, "origin", fmt.Sprintf("%q is no origin of a constant", given.Origin),
			hintNear(string(given.Origin), known, "write one of: "+strings.Join(known, ", ")))
	}
	r.card.Put(part, d.key, given)
}
