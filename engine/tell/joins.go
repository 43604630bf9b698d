package tell

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Lines is what the joins of a schematic amount to on the grid.
type Lines struct {
	Paths     [][]Spot   // the corners of each join, in the order of Joins
	Dots      []Spot     // where three lines or more are joined
	Crossings []Spot     // where two lines cross and are not
	Nets      [][]string // the ends that are joined with each other, such as "K1.13", in the order of the joins
}

// grid is what lies at each place of a schematic while its joins are laid.
type grid struct {
	ends   map[Spot][]string // of parts
	inner  map[Spot]string   // the part that lies there
	places map[string]Spot   // of ends
	users  map[Spot][]use
	steps  map[[2]Spot]int // the join that runs from one place to the next
	root   map[string]string
}

// use is how a join uses a place.
type use struct {
	join int
	how  int
}

const (
	passes = iota // straight
	turns
	stops // ends, or names an end of a part there
)

// Lines lays the joins on the grid. It fails when something cannot be drawn, or
// would be read as what was not said: a join to nothing, a line over a part or
// along another line.
func (d Schematic) Lines() (Lines, error) {
	g, err := d.grid()
	if err != nil {
		return Lines{}, err
	}
	var out Lines
	for i, j := range d.Joins {
		corners, err := g.lay(i, j)
		if err != nil {
			return Lines{}, err
		}
		out.Paths = append(out.Paths, corners)
	}
	for _, p := range sorted(g.users) {
		dot, crossing, err := g.meet(p, d.Joins)
		if err != nil {
			return Lines{}, err
		}
		if dot {
			out.Dots = append(out.Dots, p)
		}
		if crossing {
			out.Crossings = append(out.Crossings, p)
		}
	}
	for _, p := range sorted(g.ends) {
		for _, end := range g.ends[p] {
			if first := g.ends[p][0]; g.find(first) != g.find(end) {
				return Lines{}, Misuse{fmt.Sprintf("%s and %s lie at one place, %s, and are not joined", first, end, p), fmt.Sprintf("move one of them, or say Join(%q, %q)", first, end)}
			}
		}
	}
	out.Nets = d.nets(g)
	return out, nil
}

// grid places the parts.
func (d Schematic) grid() (*grid, error) {
	g := &grid{map[Spot][]string{}, map[Spot]string{}, map[string]Spot{}, map[Spot][]use{}, map[[2]Spot]int{}, map[string]string{}}
	switch {
	case len(d.Parts) == 0:
		return nil, Misuse{"it has no part", "put at least one with tell.Put"}
	case len(d.Parts) > mostSymbols:
		return nil, Misuse{fmt.Sprintf("it has %d parts, more than %d", len(d.Parts), mostSymbols), "tell it in two drawings"}
	case len(d.Joins) > mostJoins:
		return nil, Misuse{fmt.Sprintf("it has %d joins, more than %d", len(d.Joins), mostJoins), "tell it in two drawings"}
	}
	for _, p := range d.Parts {
		if err := p.check(); err != nil {
			return nil, err
		}
		ends, inner := p.Places()
		for _, s := range inner {
			if other := g.inner[s]; other != "" {
				return nil, Misuse{fmt.Sprintf("%s and %s lie at one place, %s", other, p.Name, s), "move one of them"}
			}
			g.inner[s] = p.Name
		}
		for i, mark := range p.Marks() {
			end := p.Name + "." + mark
			if _, had := g.places[end]; had {
				return nil, Misuse{fmt.Sprintf("two ends are called %q", end), `call one part otherwise, or give its ends marks of their own, as in Ends("13", "14")`}
			}
			g.places[end] = ends[i]
			g.ends[ends[i]] = append(g.ends[ends[i]], end)
		}
	}
	for _, p := range sorted(g.ends) {
		if other := g.inner[p]; other != "" {
			return nil, Misuse{fmt.Sprintf("%s lies within %s, at %s", g.ends[p][0], other, p), "move one of them"}
		}
	}
	return g, nil
}

// spot finds what a join leads through.
func (g *grid) spot(said string) (p Spot, end bool, err error) {
	if column, row, ok := strings.Cut(said, ","); ok {
		c, err1 := strconv.Atoi(strings.TrimSpace(column))
		r, err2 := strconv.Atoi(strings.TrimSpace(row))
		if err1 != nil || err2 != nil {
			return p, false, Misuse{fmt.Sprintf("%q is no place of the grid", said), `write column and row as whole numbers, as in "4,2"`}
		}
		return Spot{c, r}, false, Spot{c, r}.check()
	}
	if p, ok := g.places[said]; ok {
		return p, true, nil
	}
	part, _, _ := strings.Cut(said, ".")
	var marks []string
	for _, end := range sortedNames(g.places) {
		if strings.HasPrefix(end, part+".") {
			marks = append(marks, fmt.Sprintf("%q", end))
		}
	}
	hint := `name an end, such as "K1.13", or a place of the grid, such as "4,2"`
	if len(marks) > 0 {
		hint = "the ends of that part are " + strings.Join(marks, ", ")
	}
	return p, false, Misuse{fmt.Sprintf("a join leads to %q, and there is no such end", said), hint}
}

// lay leads a join over the grid, and gives its corners.
func (g *grid) lay(i int, j Join) ([]Spot, error) {
	if len(j.Through) < 2 {
		return nil, Misuse{"a join names fewer than two places", `say where it begins and where it ends, as in Join("BAT.+", "F1.1")`}
	}
	what := j.what()
	var corners []Spot
	for k, said := range j.Through {
		p, end, err := g.spot(said)
		if err != nil {
			return nil, err
		}
		if end {
			g.join(key(i), said)
		}
		if end || k == 0 || k == len(j.Through)-1 {
			g.users[p] = append(g.users[p], use{i, stops})
		}
		if k == 0 {
			corners = append(corners, p)
			continue
		}
		from := corners[len(corners)-1]
		if from == p {
			continue
		}
		if from.Column != p.Column && from.Row != p.Row {
			return nil, Misuse{fmt.Sprintf("the join %s runs aslant from %s to %s", what, from, p),
				fmt.Sprintf("put a corner between, such as %q or %q", Spot{from.Column, p.Row}, Spot{p.Column, from.Row})}
		}
		corners = append(corners, p)
	}
	return corners, g.walk(i, what, corners)
}

// walk notes each place that a join leads over.
func (g *grid) walk(i int, what string, corners []Spot) error {
	last := Spot{}
	for k := 1; k < len(corners); k++ {
		from, to := corners[k-1], corners[k]
		step := Spot{sign(to.Column - from.Column), sign(to.Row - from.Row)}
		if k > 1 {
			how := passes
			if step != last {
				how = turns
			}
			if step == (Spot{-last.Column, -last.Row}) {
				return Misuse{fmt.Sprintf("the join %s turns back on itself at %s", what, from), "leave that place out"}
			}
			g.used(from, i, how)
		}
		last = step
		for p := from; p != to; {
			next := Spot{p.Column + step.Column, p.Row + step.Row}
			way := [2]Spot{p, next}
			if p.Column > next.Column || p.Row > next.Row {
				way = [2]Spot{next, p}
			}
			if _, had := g.steps[way]; had {
				return Misuse{fmt.Sprintf("the join %s runs along another, from %s to %s", what, p, next), "end it where it meets the other, or lead it beside"}
			}
			g.steps[way] = i
			if p = next; p != to {
				g.used(p, i, passes)
			}
		}
	}
	return nil
}

// used notes how a join uses a place, unless it stops there.
func (g *grid) used(p Spot, i, how int) {
	if !slices.Contains(g.users[p], use{i, stops}) {
		g.users[p] = append(g.users[p], use{i, how})
	}
}

// meet says what happens at a place where lines are.
func (g *grid) meet(p Spot, joins []Join) (dot, crossing bool, err error) {
	users := g.users[p]
	what := joins[users[0].join].what()
	if part := g.inner[p]; part != "" {
		return false, false, Misuse{fmt.Sprintf("the join %s leads over %s, at %s", what, part, p), "lead it around"}
	}
	ends := g.ends[p]
	stop := 0
	for _, u := range users {
		if u.how == stops {
			stop++
		} else if len(ends) > 0 {
			return false, false, Misuse{fmt.Sprintf("the join %s leads over %s and does not name it", joins[u.join].what(), ends[0]), "name that end in the join, or lead it around"}
		}
	}
	if stop == 0 && len(users) > 1 {
		for _, u := range users {
			if u.how != passes {
				return false, false, Misuse{fmt.Sprintf("the join %s has its corner on another, at %s", joins[u.join].what(), p), "end one of the two there to join them, or lead it around"}
			}
		}
		return false, true, nil
	}
	if stop == 1 && len(users) == 1 && len(ends) == 0 {
		return false, false, Misuse{fmt.Sprintf("the join %s ends at %s, where nothing is", what, p), "lead it to an end of a part, or to another line"}
	}
	if stop > 0 {
		for _, u := range users {
			g.join(key(users[0].join), key(u.join))
		}
	}
	ways := len(ends)
	for way := range g.steps {
		if way[0] == p || way[1] == p {
			ways++
		}
	}
	return ways > 2, false, nil
}

// nets gives the ends that are joined with each other.
func (d Schematic) nets(g *grid) (nets [][]string) {
	at := map[string]int{}
	add := func(end string) {
		root := g.find(end)
		i, had := at[root]
		if !had {
			i = len(nets)
			at[root] = i
			nets = append(nets, nil)
		}
		if !slices.Contains(nets[i], end) {
			nets[i] = append(nets[i], end)
		}
	}
	for _, j := range d.Joins {
		for _, said := range j.Through {
			if _, ok := g.places[said]; ok {
				add(said)
			}
		}
	}
	return nets
}

// key names a join among ends, which hold a dot.
func key(join int) string { return strconv.Itoa(join) }

func (g *grid) find(one string) string {
	for g.root[one] != "" {
		one = g.root[one]
	}
	return one
}

func (g *grid) join(a, b string) {
	if a, b = g.find(a), g.find(b); a != b {
		g.root[b] = a
	}
}

// what names a join in a message.
func (j Join) what() string {
	return fmt.Sprintf("from %s to %s", j.Through[0], j.Through[len(j.Through)-1])
}

func sign(x int) int { return min(1, max(-1, x)) }

// sorted gives the places of a map by row and column.
func sorted[T any](of map[Spot]T) []Spot {
	var all []Spot
	for p := range of {
		all = append(all, p)
	}
	slices.SortFunc(all, func(a, b Spot) int {
		if a.Row != b.Row {
			return a.Row - b.Row
		}
		return a.Column - b.Column
	})
	return all
}

func sortedNames(of map[string]Spot) []string {
	var all []string
	for name := range of {
		all = append(all, name)
	}
	slices.Sort(all)
	return all
}
