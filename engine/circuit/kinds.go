package circuit

import (
	"fmt"
	"slices"
	"strconv"
)

// kind is a kind of part: one entry here, and a file of its own.
type kind struct {
	name   string
	about  string
	values []Description
	marks  []string // of its terminals, beside those of its contacts
	moves  bool     // it may have contacts
	needs  bool     // it has to have some
	source bool
	work   func(b *builder) // puts one to work
}

// kinds lists them, in the order of the author's guide.
func kinds() []kind {
	return []kind{
		battery(), alternator(), set(),
		resistor(), coil(), capacitor(), lamp(), bell(), voltmeter(), ammeter(),
		fuse(), key(), contact(), relay(), detector(), flasher(), strip(),
	}
}

// Description is a constant that a part has to have.
type Description struct {
	Key    string // as written in its entry
	SIUnit string // of its value
	Bounds Bounds
	Doc    string
}

// Bounds says which values a constant may have.
type Bounds int

const (
	Positive Bounds = iota
	NotNegative
)

// Allows says whether a value lies within the bounds.
func (b Bounds) Allows(x float64) bool {
	return finite(x) && (x > 0 || b == NotNegative && x == 0)
}

// Kinds lists the kinds of parts, and what each is.
func Kinds() (names, about []string) {
	for _, k := range kinds() {
		names, about = append(names, k.name), append(about, k.about)
	}
	return names, about
}

// Describe lists the constants of a kind; false when there is no such kind.
func Describe(name string) ([]Description, bool) {
	k, ok := kindOf(name)
	return k.values, ok
}

func kindOf(name string) (kind, bool) {
	all := kinds()
	if i := slices.IndexFunc(all, func(k kind) bool { return k.name == name }); i >= 0 {
		return all[i], true
	}
	return kind{}, false
}

// Marks gives the marks of a part's terminals, those of its contacts last. A
// contact is written with its marks, whose last digits say what it is (EN 50005
// and IEC 60947-5-1, from memory): 3-4 makes and 1-2 breaks, 1-2-4 changes over
// from 2 to 4; 7-8, 5-6 and 5-6-8 are the same for contacts with a delay or another
// special function. It fails with a part that has such marks twice, or none.
func (p Part) Marks() ([]string, error) {
	k, ok := kindOf(p.Kind)
	if !ok {
		return nil, fmt.Errorf("unknown kind %q", p.Kind)
	}
	out := slices.Clone(k.marks)
	for i := range min(p.Terminals, mostTerminals) {
		out = append(out, strconv.Itoa(i+1))
	}
	for _, c := range p.Contacts {
		marks, _, err := contactMarks(c)
		if err != nil {
			return nil, err
		}
		for _, m := range marks {
			if slices.Contains(out, m) {
				return nil, fmt.Errorf("the mark %q stands twice", m)
			}
			out = append(out, m)
		}
	}
	return out, nil
}

// leg is a contact between two of the marks: the first and another.
type leg struct {
	to    int
	makes bool // closes as the part moves, and does not open
}

func contactMarks(written string) (marks []string, legs []leg, err error) {
	marks, last := fields(written), ""
	for _, m := range marks {
		if n, err := strconv.Atoi(m); err != nil || n < 1 || n > 999 {
			return nil, nil, fmt.Errorf("%q is no mark of a contact", m)
		}
		last += m[len(m)-1:]
	}
	switch last {
	case "34", "78":
		return marks, []leg{{1, true}}, nil
	case "12", "56":
		return marks, []leg{{1, false}}, nil
	case "124", "568":
		return marks, []leg{{1, false}, {2, true}}, nil
	}
	return nil, nil, fmt.Errorf("%q is no contact", written)
}

// fields parts a contact's marks.
func fields(written string) (out []string) {
	start := 0
	for i := range len(written) + 1 {
		if i == len(written) || written[i] == '-' {
			out = append(out, written[start:i])
			start = i + 1
		}
	}
	return slices.DeleteFunc(out, func(s string) bool { return s == "" })
}
