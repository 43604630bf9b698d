package card

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/machine"
)

var constantKeys = [...]string{"value", "unit", "from", "note", "date"}

// constant reads { value = ..., unit = ..., from = ..., note = ..., date = ... }.
func (r *reader) constant(place machine.Slot, d field) {
	line := fmt.Sprintf(`write it as %s = { value = ..., unit = %q, from = "assumed" }`, d.key, place.Unit)
	if d.value.kind != table {
		r.add(d.value.offset, "value", fmt.Sprintf("%s is %v, without unit and origin", d.key, d.value.kind), line)
		return
	}
	at := place.Constant
	seen := map[string]field{}
	for _, k := range d.value.fields {
		seen[k.key] = k
		switch k.key {
		case "value":
			if r.want(k, number) {
				at.Value = k.value.number
			}
		case "unit":
			if r.want(k, text) {
				at.Unit = k.value.text
			}
		case "from":
			if r.want(k, text) {
				at.From = machine.Provenance(k.value.text)
			}
		case "note":
			if r.want(k, text) {
				at.Note = k.value.text
			}
		case "date":
			if r.want(k, date) {
				at.Date = k.value.text
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
		if _, fits := machine.Multiple(place.Unit, at.Unit); !fits {
			r.add(k.value.offset, "unit", fmt.Sprintf("%q is no unit for %s", at.Unit, d.key),
				fmt.Sprintf("give the value in %s", machine.UnitChoices(place.Unit)))
		}
	}
	if k, ok := seen["from"]; ok && k.value.kind == text && !slices.Contains(machine.Provenances(), at.From) {
		var known []string
		for _, p := range machine.Provenances() {
			known = append(known, string(p))
		}
		r.add(k.value.offset, "origin", fmt.Sprintf("%q is no origin of a constant", at.From),
			hintNear(string(at.From), known, "write one of: "+strings.Join(known, ", ")))
	}
}
