package card

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Screen is one screen of the kiosk as it hangs in the house.
type Screen struct {
	Name     string  // what the house calls it, such as "landing"
	Diagonal float64 // of its picture, mm
	Wide     int     // px, as its browser counts them
	High     int
	Distance float64 // from the readers' eyes to the glass, mm

	Line, Column int // of its table in the file
}

// screenUnits are the units for lengths of a screen, in mm.
var screenUnits = map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4}

var screenKeys = [...]string{"name", "diagonal", "pixels", "distance"}

const screenLine = `write it as { name = "hall", diagonal = { value = 24, unit = "in" }, pixels = [1920, 1080], distance = { value = 600, unit = "mm" } }`

// screens reads the list of the house's screens.
func (f *file) screens(d field) (all []Screen) {
	if !f.want(d, list) {
		return nil
	}
	for _, item := range d.value.items {
		if item.kind != table {
			f.add(item.offset, "value", fmt.Sprintf("a screen is %v", item.kind), screenLine)
			continue
		}
		s := f.screen(item)
		if i := slices.IndexFunc(all, func(had Screen) bool { return had.Name == s.Name }); i >= 0 && s.Name != "" {
			f.add(item.offset, "duplicate", fmt.Sprintf("the screen %q stands twice, first on line %d", s.Name, all[i].Line), "give each screen a name of its own")
		}
		all = append(all, s)
	}
	return all
}

func (f *file) screen(v value) (s Screen) {
	s.Line, s.Column = f.place(v.offset)
	for _, k := range v.fields {
		switch k.key {
		case "name":
			if f.want(k, text) {
				if s.Name = strings.TrimSpace(k.value.text); s.Name == "" {
					f.add(k.value.offset, "value", "a screen's name is empty", "write between the quotes what the house calls it")
				}
			}
		case "diagonal":
			s.Diagonal = f.length(k, 100, 5000)
		case "distance":
			s.Distance = f.length(k, 200, 10000)
		case "pixels":
			s.Wide, s.High = f.pixels(k)
		default:
			f.add(k.offset, "unknown", fmt.Sprintf("a screen has no key %q", k.key),
				hintNear(k.key, screenKeys[:], "known here are: "+strings.Join(screenKeys[:], ", ")))
		}
	}
	for _, key := range screenKeys {
		if !slices.ContainsFunc(v.fields, func(k field) bool { return k.key == key }) {
			f.add(v.offset, "missing", fmt.Sprintf("the screen has no %s", key), screenLine)
		}
	}
	return s
}

// length reads { value = 24, unit = "in" } in mm, between two bounds in mm. It
// gives 0 for what it reports.
func (f *file) length(k field, least, most float64) float64 {
	if k.value.kind != table {
		f.add(k.value.offset, "value", fmt.Sprintf("%s is %v, without unit", k.key, k.value.kind), screenLine)
		return 0
	}
	x, unit := 0.0, ""
	for _, part := range k.value.fields {
		switch part.key {
		case "value":
			if !f.want(part, number) {
				return 0
			}
			x = part.value.number
		case "unit":
			if !f.want(part, text) {
				return 0
			}
			if unit = part.value.text; screenUnits[unit] == 0 {
				f.add(part.value.offset, "unit", fmt.Sprintf("%q is no unit for %s", unit, k.key), "give it in mm, cm, m or in")
				return 0
			}
		default:
			f.add(part.offset, "unknown", fmt.Sprintf("unknown key %q in %s", part.key, k.key), "known here are: value, unit")
		}
	}
	for _, key := range [...]string{"value", "unit"} {
		if !slices.ContainsFunc(k.value.fields, func(part field) bool { return part.key == key }) {
			f.add(k.offset, "missing", fmt.Sprintf("%s has no %s", k.key, key), screenLine)
			return 0
		}
	}
	x *= screenUnits[unit]
	if !(x >= least && x <= most) { // nor what is no number
		f.add(k.value.offset, "value", fmt.Sprintf("%s cannot be %.4g mm", k.key, x), fmt.Sprintf("give from %g to %g mm, in mm, cm, m or in", least, most))
		return 0
	}
	return x
}

// pixels reads [1920, 1080].
func (f *file) pixels(k field) (wide, high int) {
	const form = "write it as pixels = [1920, 1080], the width first, as the screen hangs and as its browser counts"
	if !f.want(k, list) {
		return 0, 0
	}
	var sides []int
	for _, item := range k.value.items {
		x := item.number
		if item.kind != number || x != math.Trunc(x) || x < 320 || x > 8192 {
			f.add(item.offset, "value", "a side of a screen is no whole number from 320 to 8192", form)
			return 0, 0
		}
		sides = append(sides, int(x))
	}
	if len(sides) != 2 {
		f.add(k.value.offset, "value", "pixels are not two numbers", form)
		return 0, 0
	}
	return sides[0], sides[1]
}
