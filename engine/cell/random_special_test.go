package cell

import "fmt"

// closure makes a function that keeps and changes variables around it.
func (g *generator) closure() {
	vs := g.seen("float64", true)
	name := g.fresh("func(float64) float64")
	if len(vs) == 0 {
		return
	}
	v := vs[g.r.Intn(len(vs))].name
	g.line("%s := func(x float64) float64 {", name)
	g.line("\t%s = cut(%s*0.75 + x)", v, v)
	g.line("\treturn %s", v)
	g.line("}")
	g.add(name, "func(float64) float64", false)
	g.line("_ = %s", name)
	if g.loops > 0 || g.r.Intn(2) == 0 {
		if fs := g.seen("func(float64) float64", true); len(fs) > 1 {
			g.line("%s = %s", fs[1].name, name)
		}
	}
}

// special does something to one of the less plain types.
func (g *generator) special() {
	vs := g.seen("", true)
	if len(vs) == 0 {
		return
	}
	v := vs[g.r.Intn(len(vs))]
	switch n := v.name; v.typ {
	case "[]func(float64) float64":
		g.line("%s = append(%s, %s)", n, n, g.lit("func(float64) float64", 2))
		g.line("if len(%s) > 4 { %s = %s[1:] }", n, n, n)
	case "map[string][]float64":
		g.line("%s[\"k\"] = append(%s[\"k\"], %s)", n, n, g.expr("float64", 2))
		g.line("if len(%s[\"k\"]) > 3 { %s[\"k\"][1] *= 2; delete(%s, %s) }", n, n, n, g.one(`"k"`, `"a"`))
	case "H":
		g.line("%s.set(%q, %s)", n, g.one("a", "b"), g.expr("float64", 2))
		g.line("%s.in.v[%d] = %s", n, g.r.Intn(2), g.expr("int", 2))
	case "[]string":
		g.line("%s = append(%s, %s)", n, n, g.expr("string", 1))
		g.line("if len(%s) > 3 { %s = %s[len(%s)-2:] }", n, n, n, n)
	case "[][2]float64":
		g.line("%s = append(%s, [2]float64{%s})", n, n, g.expr("float64", 1))
		g.line("%s[0][1] += 1", n)
		g.line("if len(%s) > 3 { %s = %s[1:] }", n, n, n)
	case "map[string]int":
		g.line("%s[%s]++", n, g.one(`"q"`, `"ab"`, `"xyz"`))
		g.line("if n, ok := %s[%s]; ok && n > 1 { fmt.Println(n) }", n, g.one(`"q"`, `"ab"`, `"xyz"`))
	case "[]P":
		g.line("for i := range %s { p := &%s[i]; p.move(%s); p.s = append(p.s, i) }", n, n, g.expr("float64", 1))
	case "[]float64":
		g.line("for i := 0; i+1 < len(%s); i++ { %s[i], %s[i+1] = %s[i+1], %s[i] }", n, n, n, n, n)
	case "string":
		g.line("switch %s { case \"ab\", \"q\": fmt.Println(\"one\"); case \"xyz\": fmt.Println(\"two\"); default: %s = \"q\" }", n, n)
	}
}

// kept makes functions in a loop, from literals that use its variables, and
// calls them after it.
func (g *generator) kept() {
	g.names++
	n := fmt.Sprintf("k%d", g.names)
	in := func(format string) { g.line("\t{ "+format+" }", g.lit("func(float64) float64", 1)) }
	g.line("var %s []func(float64) float64", n)
	g.line("var %sm = map[int]func(float64) float64{}", n)
	g.line("var %sp, %sl, %sh = [3]struct{ f func(float64) float64 }{}, make([]func(float64) float64, 3), make([]func(float64) float64, 3)", n, n, n)
	g.line("%s", g.one("for i := 0; i < 3; i++ {", "for i := range []int{4, 5, 6} {", "for j := 3; j > 0; j-- { i := j - 1"))
	g.scopes = append(g.scopes, []variable{{"i", "int", true}, {"q", "float64", true}})
	g.line("\tq := float64(i) * 1.5 + 1")
	g.line("\tq = q + 0")
	for range 2 + g.r.Intn(2) {
		switch g.r.Intn(7) {
		case 0:
			in(n + " = append(" + n + ", func(x float64) float64 { q++; f := %s; y := f(x); return y * q })")
		case 1:
			in(n + "m[i] = %s")
		case 2:
			in(n + "p[i].f = func(x float64) float64 { f := %s; y := f(x); return cut(y + q) }")
		case 3:
			in("f := %s; " + n + "l[i] = then(f, func(x float64) float64 { return x + q })")
		case 4:
			in(n + "l[i] = keep(%s)")
		case 5:
			in("var f func(float64) float64 = %s; " + n + "h[i] = f")
		case 6:
			in("f := %s; " + n + "m[i], " + n + "l[i] = f, func(x float64) float64 { y := f(x); return y - q }")
		}
	}
	g.scopes = g.scopes[:len(g.scopes)-1]
	g.line("}")
	g.line("for i := 0; i < 3; i++ {")
	g.line("\tif i < len(%s) { y := %s[i](0.5); fmt.Println(i, y) }", n, n)
	g.line("\tif f := %sm[i]; f != nil { y := f(0.5); fmt.Println(i, y) }", n)
	g.line("\tif f := %sp[i].f; f != nil { y := f(0.5); fmt.Println(i, y) }", n)
	g.line("\tif f := %sl[i]; f != nil { y := f(0.5); fmt.Println(i, y) }", n)
	g.line("\tif f := %sh[i]; f != nil { y := f(0.5); fmt.Println(i, y) }", n)
	g.line("}")
}

// alias gives a list a second name and appends to one of them. What is refused
// there counts as refused; what is not has to agree.
func (g *generator) alias() {
	g.names++
	n := fmt.Sprintf("l%d", g.names)
	elem, from := "rune", g.one(`[]rune("abc")`, `[]rune(`+g.expr("string", 1)+`)`)
	switch g.r.Intn(3) {
	case 0:
		elem, from = "byte", g.one(`[]byte("abc")`, `[]byte(`+g.expr("string", 1)+`)`)
	case 1:
		elem, from = "int", "[]int{1, 2, 3}"
	}
	g.line("%s := %s", n, from)
	grow := fmt.Sprintf("%s = append(%s, 100); ", n, n)
	if g.r.Intn(10) > 0 {
		grow = ""
	}
	g.line("for i := 0; i < 3; i++ {")
	g.line("\t%sif len(%s) > 2 { %s[1] += 1 }", g.one("", grow), n, n)
	second := "t = append(t, 101); "
	t := g.one("append([]"+elem+"{}, "+n+"...)", "append([]"+elem+"{}, "+n+"[1:]...)")
	if g.r.Intn(6) == 0 {
		t, second = g.one(n, n+"[:1]", n+"[len("+n+")/2:]"), g.one("", "", second)
	}
	g.line("\tif len(%s) == 0 { break }", n)
	g.line("\tt := %s", t)
	g.line("\t%s%sif len(t) > 0 { t[0] -= 1 }", second, g.one("", grow))
	g.line("\tfmt.Println(%s, t)", n)
	g.line("}")
	g.line("%s", g.one("", grow, fmt.Sprintf("if len(%s) > 0 { u := %s; u[0] = 99 }", n, n), fmt.Sprintf("{ u := append([]%s{}, %s...); u = append(u, 3); u[0] = 99 }", elem, n)))
	g.line("fmt.Println(%s, len(%s))", n, n)
}

// absent reads what may not be there.
func (g *generator) absent() {
	vs := g.seen("", false)
	if len(vs) == 0 {
		return
	}
	v := vs[g.r.Intn(len(vs))]
	key, format := "", "fmt.Println(v, ok)"
	switch v.typ {
	case "map[string]float64", "map[string]int":
		key = g.one(`"a"`, `"b"`, `"q"`, g.expr("string", 1))
	case "map[string][]float64":
		key, format = g.one(`"a"`, `"k"`, `"z"`), "fmt.Println(v, ok, len(v))"
	case "map[int]P":
		key, format = g.expr("int", 1), "fmt.Println(v.x, ok, v.n)"
	case "error":
		g.line("if %s != nil { fmt.Println(%s.Error()) } else { fmt.Println(\"none\") }", v.name, v.name)
		return
	default:
		return
	}
	g.line("if v, ok := %s[%s]; ok || %s { %s }", v.name, key, g.expr("bool", 1), format)
}

// turns is a loop in which things are there in some turns only.
func (g *generator) turns() {
	g.names++
	i := fmt.Sprintf("i%d", g.names)
	g.line("for %s := 0; %s < 4; %s++ {", i, i, i)
	g.line("\tvar e error")
	g.line("\tvar h H")
	g.line("\tx, err := maybe(%s*0.3 + float64(%s)*0.4)", g.expr("float64", 1), i)
	g.line("\tif m3(%s) == 1 { e = err; h.m = map[string]float64{\"t\": x} }", i)
	g.line("\tp, m, f := perhaps(%s)", i)
	g.line("\tv, ok := m[\"a\"]")
	g.line("\tif err != nil && %s { fmt.Println(x, err, v, ok); continue }", g.expr("bool", 1))
	g.line("\tif e != nil { fmt.Println(e, h.m[\"t\"]) }")
	g.line("\tif f == nil || p == nil { fmt.Println(f == nil, p == nil, m == nil, h.m == nil, h.f == nil) } else { y := f(1); fmt.Println(p.n, y) }")
	g.line("\tx, err = maybe(x)")
	g.line("\tfmt.Println(x, err, e == nil)")
	g.line("}")
}

// nested makes a function that makes functions, which share a variable and
// change it.
func (g *generator) nested() {
	name := g.fresh("func(float64) float64")
	g.line("%s := func(x float64) float64 {", name)
	g.line("\tn := x")
	g.line("\tvar parts []func(float64) float64")
	g.line("\tfor i := 0; i < %d; i++ {", 1+g.r.Intn(3))
	g.line("\t\tk := float64(i) * 0.5")
	g.line("\t\tparts = append(parts, func(y float64) float64 { n += k; k *= 0.5; return cut(n*y + float64(i)) })")
	g.line("\t}")
	g.line("\tfor _, f := range parts { x = f(x); if x > 100 { return f(1) } }")
	g.line("\treturn x + n")
	g.line("}")
	g.add(name, "func(float64) float64", true)
	g.line("_ = %s", name)
}
