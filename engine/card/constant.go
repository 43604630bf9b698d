package card

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/machine"
)

var (
	constantKeys = [...]string{"value", "unit", "from", "note", "date", "uncertainty"}
	tableKeys    = [...]string{"rows", "units"} // further, of a table
)

// constant reads { value = ..., unit = ..., from = ..., note = ..., date = ...,
// uncertainty = ... }.
func (r *reader) constant(part string, what machine.Description, d field) {
	if given, ok := r.given(what, d); ok {
		r.card.Put(part, d.key, given)
	}
}

// given reads what stands behind a constant's key; false when it is nothing of
// the sort.
func (r *file) given(what machine.Description, d field) (given machine.Given, ok bool) {
	line := fmt.Sprintf(`write it as %s = { value = ..., unit = %q, from = "assumed" }`, d.key, what.SIUnit)
	known, needed := slices.Clone(constantKeys[:]), []string{"value", "unit", "from"}
	if what.Columns != nil {
		known, needed = append(known, tableKeys[:]...), append(needed, tableKeys[:]...)
		line = tableLine(d.key, what)
	}
	if d.value.kind != table {
		r.add(d.value.offset, "value", fmt.Sprintf("%s is %v, without unit and origin", d.key, d.value.kind), line)
		return given, false
	}
	seen := map[string]field{}
	for _, k := range d.value.fields {
		seen[k.key] = k
		if !slices.Contains(known, k.key) {
			r.add(k.offset, "unknown", fmt.Sprintf("unknown key %q in %s", k.key, d.key),
				hintNear(k.key, known, "known here are: "+strings.Join(known, ", ")))
			continue
		}
		switch k.key {
		case "value":
			if r.want(k, number) {
				given.Value = k.value.number
			}
		case "uncertainty":
			if r.want(k, number) {
				given.Uncertainty = k.value.number
				if given.Uncertainty == 0 {
					r.add(k.value.offset, "value", fmt.Sprintf("the uncertainty of %s is 0", d.key), "leave it out: a constant without one counts as exact")
				}
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
		case "rows":
			given.Rows = r.rows(k, what, line)
		case "units":
			given.Units = r.units(k, line)
		}
	}
	for _, k := range needed {
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
	if k, ok := seen["from"]; ok && k.value.kind == text {
		r.origin(k)
	}
	return given, true
}

// origin reads where a constant comes from.
func (f *file) origin(k field) machine.Origin {
	o := machine.Origin(k.value.text)
	if !slices.Contains(machine.Origins(), o) {
		var known []string
		for _, p := range machine.Origins() {
			known = append(known, string(p))
		}
		f.add(k.value.offset, "origin", fmt.Sprintf("%q is no origin of a constant", o), hintNear(string(o), known, "write one of: "+strings.Join(known, ", ")))
	}
	return o
}

// tableLine shows how a constant that is a table is written.
func tableLine(key string, what machine.Description) string {
	var units, numbers []string
	for _, c := range what.Columns {
		units, numbers = append(units, fmt.Sprintf("%q", c.SIUnit)), append(numbers, "...")
	}
	return fmt.Sprintf(`write it as %s = { value = ..., unit = %q, rows = [[%s], ...], units = [%s], from = "measured" }`,
		key, what.SIUnit, strings.Join(numbers, ", "), strings.Join(units, ", "))
}

// rows reads the rows of a table: [[0, 3.7], [0.1, 40]].
func (r *file) rows(k field, what machine.Description, line string) (rows [][]float64) {
	for _, item := range r.items(k, line) {
		if item.kind != list || len(item.items) != len(what.Columns) {
			r.add(item.offset, "value", fmt.Sprintf("a row of %s is no list of %d numbers", what.Key, len(what.Columns)), line)
			return nil
		}
		var row []float64
		for _, x := range item.items {
			if x.kind != number {
				r.add(x.offset, "value", fmt.Sprintf("%v stands in a row of %s, where a number belongs", x.kind, what.Key), line)
				return nil
			}
			row = append(row, x.number)
		}
		rows = append(rows, row)
	}
	return rows
}

// units reads the units of a table's columns: ["A", "V"].
func (r *file) units(k field, line string) (units []string) {
	for _, item := range r.items(k, line) {
		if item.kind != text {
			r.add(item.offset, "value", fmt.Sprintf("%v stands among the units, where text in quotes belongs", item.kind), line)
			return nil
		}
		units = append(units, item.text)
	}
	return units
}

func (r *file) items(k field, line string) []value {
	if k.value.kind != list {
		r.add(k.value.offset, "value", fmt.Sprintf("%s is %v, where %v belongs", k.key, k.value.kind, list), line)
	}
	return k.value.items
}
