package bench

import (
	"fmt"
	"math"
	"strings"

	"slipring/engine/tell"
)

// Readings is a table of measurements that lies beside the lesson.
type Readings struct {
	Name    string
	Columns []ReadingsColumn
}

// ReadingsColumn is one column of readings, of numbers or of words. Missing
// says where nothing was read; it is as long as the column, or empty.
type ReadingsColumn struct {
	Head    string
	Unit    string // "" for none
	Numbers []float64
	Words   []string
	Missing []bool
}

// Beside is what lies beside a lesson for its cells.
type Beside struct {
	Readings []Readings `json:",omitempty"`
	Captures []Capture  `json:",omitempty"`
}

// Lay puts what lies beside the lesson on the shelf, for Readings and Capture to
// give.
func (s *Shelf) Lay(all Beside) { s.beside = all }

// lookUp finds the one of a name, or else the names that there are.
func lookUp[T any](all []T, name string, of func(T) string) (one T, names []string, ok bool) {
	for _, one := range all {
		if of(one) == name {
			return one, nil, true
		}
		names = append(names, of(one))
	}
	return one, names, false
}

// Readings gives the measurements in one of the lesson's data files, by the
// file's name without its ending.
func (s *Shelf) Readings(name string) Readings {
	one, names, ok := lookUp(s.beside.Readings, name, func(r Readings) string { return r.Name })
	if ok {
		return one
	}
	hint := `name the file in the lesson block: data = ["` + name + `.csv"]`
	if len(names) > 0 {
		hint = "readings of this lesson: " + strings.Join(names, ", ")
	}
	panic(tell.Misuse{Text: fmt.Sprintf("the lesson has no readings called %q", name), Hint: hint})
}

func (r Readings) column(head string) ReadingsColumn {
	one, heads, ok := lookUp(r.Columns, head, func(c ReadingsColumn) string { return c.Head })
	if ok {
		return one
	}
	panic(tell.Misuse{
		Text: fmt.Sprintf("the readings %q have no column %q", r.Name, head),
		Hint: "their columns: " + strings.Join(heads, ", ")})
}

// Column gives the numbers of a column, in the unit of its head, with NaN where
// nothing was read.
func (r Readings) Column(head string) []float64 {
	c := r.column(head)
	if c.Words != nil {
		panic(tell.Misuse{
			Text: fmt.Sprintf("the column %q of the readings %q holds words", head, r.Name),
			Hint: "use Words"})
	}
	out := append([]float64(nil), c.Numbers...)
	for i := range c.Missing {
		if c.Missing[i] {
			out[i] = math.NaN()
		}
	}
	return out
}

// Pairs gives two columns of numbers, without the lines in which one of them
// is missing, as a figure needs them.
func (r Readings) Pairs(x, y string) (xs, ys []float64) {
	a, b := r.Column(x), r.Column(y)
	for i := range a {
		if !math.IsNaN(a[i]) && !math.IsNaN(b[i]) {
			xs = append(xs, a[i])
			ys = append(ys, b[i])
		}
	}
	return xs, ys
}

// Words gives the words of a column, "" where nothing was written.
func (r Readings) Words(head string) []string {
	c := r.column(head)
	if c.Words == nil {
		panic(tell.Misuse{
			Text: fmt.Sprintf("the column %q of the readings %q holds numbers", head, r.Name),
			Hint: "use Column"})
	}
	return append([]string(nil), c.Words...)
}
