package cell

import (
	"fmt"
	"strings"
)

// lvalue gives a place to store into.
func (g *generator) lvalue(t string) string {
	var out []string
	for _, v := range g.seen(t, true) {
		out = append(out, v.name)
	}
	add := func(of, format string) {
		for _, v := range g.seen(of, true) {
			if strings.Contains(format, "%d") {
				out = append(out, fmt.Sprintf(format, v.name, g.r.Intn(2)))
			} else if strings.Count(format, "%s") == 2 {
				out = append(out, fmt.Sprintf(format, v.name, g.expr("int", 1)))
			} else {
				out = append(out, fmt.Sprintf(format, v.name))
			}
		}
	}
	switch t {
	case "float64":
		add("[3]float64", "%s[%d]")
		add("[3]float64", "%s[m3(%s)]")
		add("P", "%s.x")
		add("*P", "%s.y")
		add("P", "%s.a[%d]")
		add("[2]P", "%s[%d].y")
		add("map[string]float64", `%s["a"]`)
		add("map[string]float64", `%s["b"]`)
	case "int":
		add("[3]int", "%s[m3(%s)]")
		add("P", "%s.n")
		add("*P", "%s.n")
	case "P":
		add("[2]P", "%s[%d]")
		add("map[int]P", "%s[%d]")
	}
	if len(out) == 0 {
		return ""
	}
	return g.pick(out)
}

func (g *generator) assign() {
	for range 5 {
		t := g.anyType()
		if l := g.lvalue(t); l != "" {
			g.line("%s = %s", l, g.expr(t, 3))
			return
		}
	}
}

func (g *generator) opAssign() {
	switch g.r.Intn(5) {
	case 0, 1:
		if l := g.lvalue("float64"); l != "" {
			g.line("%s %s %s", l, g.one("+=", "-=", "*="), g.expr("float64", 2))
		}
	case 2:
		if l := g.lvalue("int"); l != "" {
			g.line("%s%s", l, g.one("++", "--", " += 3", " -= 2", " *= 2", " &= 7", " |= 4", " ^= 5", " <<= 1", " >>= 1", " %= 5", " &^= 2"))
		}
	case 3:
		if l := g.lvalue("string"); l != "" {
			g.line("%s += %s", l, g.one(`"q"`, `"w"`))
			g.line("if len(%s) > 9 { %s = %s[3:] }", l, l, l)
		}
	case 4:
		t := g.one("uint8", "uint64", "int32", "int64", "uint32", "int8", "float32")
		if l := g.lvalue(t); l != "" {
			g.line("%s %s %s", l, g.one("+=", "-=", "*="), g.expr(t, 2))
		}
	}
}

// several assigns more than one value at once.
func (g *generator) several() {
	var ls, ts []string
	for i := 0; i < 2+g.r.Intn(2); i++ {
		t := g.one("int", "float64", "float64", "P", "string", "bool")
		if l := g.lvalue(t); l != "" {
			ls, ts = append(ls, l), append(ts, t)
		}
	}
	if len(ls) > 1 {
		g.line("%s = %s", strings.Join(ls, ", "), g.exprs(ts, 2))
	}
}

func (g *generator) callSeveral() {
	if g.level == 0 {
		return
	}
	f := g.funcs[g.r.Intn(g.level)]
	if len(f.results) < 2 {
		return
	}
	names := make([]string, len(f.results))
	for i := range names {
		names[i] = g.fresh(f.results[i])
		for j := range i {
			if names[i] == names[j] {
				g.names++
				names[i] = fmt.Sprintf("v%d", g.names)
			}
		}
	}
	g.line("%s := %s(%s)", strings.Join(names, ", "), f.name, g.exprs(f.params, 2))
	for i, n := range names {
		g.add(n, f.results[i], false)
		if len(g.scopes) > 1 || g.inFunc {
			g.line("_ = %s", n)
		}
	}
}

// show prints what can be seen.
func (g *generator) show() {
	vs := g.seen("", false)
	for i := 0; i < 4 && len(vs) > 0; i++ {
		v := vs[g.r.Intn(len(vs))]
		switch v.typ {
		case "P":
			g.line("fmt.Println(%q, %s.x, %s.y, %s.n, %s.a, %s.s)", v.name, v.name, v.name, v.name, v.name, v.name)
		case "*P":
			g.line("fmt.Println(%q, %s.x, %s.y, %s.n)", v.name, v.name, v.name, v.name)
		case "func(float64) float64":
			g.line("fmt.Println(%q, %s(0.5))", v.name, v.name)
		case "func(int) int":
			g.line("fmt.Println(%q, %s(3))", v.name, v.name)
		case "[]P", "[2]P":
			g.line("for _, p := range %s { fmt.Println(%q, p.x, p.y, p.n) }", v.name, v.name)
		case "Series":
			g.line("fmt.Println(%q, %s.sum())", v.name, v.name)
		case "map[int]P":
			g.line("fmt.Println(%q, len(%s), %s[1].x, %s[0].n)", v.name, v.name, v.name, v.name)
		case "[]func(float64) float64":
			g.line("fmt.Println(%q, run(%s, 0.5))", v.name, v.name)
		case "H":
			g.line("fmt.Println(%q, %s.call(2), %s.m, %s.in.n, %s.in.v)", v.name, v.name, v.name, v.name, v.name)
		case "Volts":
			g.line("fmt.Println(%q, %s, %s.twice())", v.name, v.name, v.name)
		default:
			g.line("fmt.Println(%q, %s)", v.name, v.name)
		}
	}
}
