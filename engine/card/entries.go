package card

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"slipring/engine/diag"
)

// labelForm is what lessons can bind words to, behind "src." or "term.".
var labelForm = regexp.MustCompile(`^[a-z][a-z0-9]*(?:-[a-z0-9]+)*$`)

// label checks the heading of an entry.
func (f *file) label(s section, name string) {
	if !strings.Contains(name, ".") && !labelForm.MatchString(name) { // a dot has been reported
		f.add(s.offset, "label", fmt.Sprintf("%q cannot be a label", name), "use small letters, digits and dashes, such as [ieee-181]")
	}
}

// bare reports keys above the first heading.
func (f *file) bare() {
	for _, d := range f.sections[0].fields {
		f.add(d.offset, "unknown", fmt.Sprintf("the key %q stands above the first heading", d.key), "write the entry's label in brackets above it")
	}
}

// fill reads the keys of an entry into their places: a *string, a *int for a
// whole number, or a *[]string for a list of words. It gives the field of each
// key that was read.
func (f *file) fill(s section, what string, keys []string, into func(key string) any) map[string]field {
	got := map[string]field{}
	for _, d := range s.fields {
		if !slices.Contains(keys, d.key) {
			f.add(d.offset, "unknown", fmt.Sprintf("%s has no key %q", what, d.key), hintNear(d.key, keys, "known here are: "+strings.Join(keys, ", ")))
			continue
		}
		switch to := into(d.key).(type) {
		case *string:
			if !f.want(d, text) {
				continue
			}
			if *to = strings.TrimSpace(d.value.text); *to == "" {
				f.add(d.value.offset, "value", fmt.Sprintf("%s is empty", d.key), "write it between the quotes, or take the key out")
				continue
			}
		case *int:
			if !f.want(d, number) {
				continue
			}
			if x := d.value.number; x != math.Trunc(x) || math.Abs(x) > 1e6 {
				f.add(d.value.offset, "value", fmt.Sprintf("%s is no whole number", d.key), fmt.Sprintf("for example: %s = 1904", d.key))
				continue
			}
			*to = int(d.value.number)
		case *[]string:
			if !f.want(d, list) {
				continue
			}
			for _, item := range d.value.items {
				if f.want(field{key: d.key, offset: d.offset, value: item}, text) {
					*to = append(*to, item.text)
				}
			}
		}
		got[d.key] = d
	}
	return got
}

// lacks reports keys that an entry needs.
func (f *file) lacks(s section, what string, got map[string]field, keys ...string) {
	for _, k := range keys {
		if _, ok := got[k]; !ok && !slices.ContainsFunc(s.fields, func(d field) bool { return d.key == k }) {
			f.add(s.offset, "missing", fmt.Sprintf("%s has no %s", what, k), pattern(k, text))
		}
	}
}

func (f *file) place(offset int) (line, column int) { return diag.Place(f.source, offset) }
