package cell

import (
	"cmp"
	"flag"
	"fmt"
	"math/rand"
	"strings"
	"testing"

	"slipring/engine/sweeptest"
)

var randomCount = flag.Int("random", 0, "how many random programs TestRandom compares; 0 are as many as a sweep takes")

// TestRandom compares random programs of the accepted part of Go, run both
// ways. For a long search: SLIPRING_SEED=7 go test -run TestRandom -random 20000
func TestRandom(t *testing.T) {
	const batch = 250
	count, first := cmp.Or(*randomCount, sweeptest.Count(16, 80)), int64(sweeptest.Seed(t))
	accepted := 0
	reasons := map[string]int{}
	for from := 0; from < count; from += batch {
		var names, sources []string
		for i := from; i < min(from+batch, count); i++ {
			seed := first + int64(i)
			src := randomProgram(seed)
			p, messages := Assemble(lessonOf(src))
			if p == nil {
				for _, m := range messages {
					if m.Rule != "cell-refused" && m.Rule != "cell-type" { // constants may overflow
						t.Fatalf("seed %d: %v\n%s", seed, m, src)
					}
					reasons[m.Rule+": "+m.Hint[:min(len(m.Hint), 40)]]++
				}
				continue
			}
			accepted++
			names = append(names, fmt.Sprint("seed ", seed, "\n", src))
			sources = append(sources, src)
		}
		compare(t, names, sources)
		if t.Failed() {
			return
		}
	}
	t.Log(accepted, "accepted; refused:", reasons)
	if accepted < count/2 {
		t.Errorf("only %d of %d random programs were accepted: %v", accepted, count, reasons)
	}
}

// generator writes one random program. Every loop ends, and functions call
// only earlier ones, so that each program does too.
type generator struct {
	r      *rand.Rand
	b      strings.Builder
	scopes [][]variable
	funcs  []function_
	names  int
	loops  int // loops around
	depth  int // blocks around
	result []string
	inFunc bool
	inLit  int
	level  int // how many functions may be called
}

type variable struct {
	name, typ string
	fixed     bool // not to be assigned to: it bounds a loop
}

type function_ struct {
	name    string
	params  []string
	results []string
}

var scalars = []string{"int", "int", "float64", "float64", "float64", "bool", "string", "uint8", "uint64", "int32", "int64", "Volts", "uint32", "int8", "float32", "complex128"}
var composites = []string{"[]float64", "[]int", "[3]float64", "[3]int", "map[string]float64", "P", "*P", "func(float64) float64", "func(int) int", "[]P", "[2]P", "[][]float64", "Series", "map[int]P", "error",
	"[]func(float64) float64", "map[string][]float64", "H", "[]string", "[][2]float64", "map[string]int"}

func randomProgram(seed int64) string {
	g := &generator{r: rand.New(rand.NewSource(seed))}
	g.b.WriteString(`type Volts float64
type Series []float64
type P struct { x, y float64; n int; a [2]float64; s []int }
type Q struct { p P; k float64 }
type H struct { f func(float64) float64; m map[string]float64; in struct { n int; v [2]int } }
func then(m, n func(float64) float64) func(float64) float64 { return func(x float64) float64 { return n(m(x)) } }
func keep(m func(float64) float64) func(float64) float64 { return m }
func (h *H) set(k string, x float64) { if h.m == nil { h.m = map[string]float64{} }; h.m[k] += x; h.in.n++ }
func (h H) call(x float64) float64 { h.in.n = 99; if h.f == nil { return x }; return h.f(x) }
func maybe(x float64) (float64, error) { if x > 1 { return x, nil }; if x > 0.5 { return 0, errors.New("small") }; return x, fmt.Errorf("less: %v", x) }
func perhaps(n int) (p *P, m map[string]float64, f func(float64) float64) { if m3(n) == 1 { return }; p, m = &P{n: n}, map[string]float64{"a": 1}; f = adder(float64(n)); return }
func steps(n int, x float64) float64 { if n <= 0 { return x }; return steps(n-1, x*0.5 + float64(n)) }
func sum(first float64, more ...float64) (t float64) { t = first; for _, x := range more { t += x }; return }
func run(fs []func(float64) float64, x float64) float64 { for _, f := range fs { x = cut(f(x)) }; return x }
func adder(k float64) func(float64) float64 { n := 0.0; return func(x float64) float64 { n += k; return x + n } }
func (v Volts) twice() Volts { return 2 * v }
func (s Series) sum() float64 { t := 0.0; for _, x := range s { t += x }; return t }
func (p P) norm() float64 { p.x *= 0.5; return math.Sqrt(p.x*p.x + p.y*p.y) }
func (p P) Area(k float64) float64 { return p.x*p.y*k }
func (p *P) move(d float64) float64 { p.x += d; p.n++; return p.x }
func (q *Q) Area(k float64) float64 { q.k += k; return q.k * q.p.x }
func at(xs []float64, i int) float64 { if len(xs) == 0 { return 0.5 }; if i < 0 { i = -i }; if i < 0 { i = 0 }; return xs[i%len(xs)] }
func ati(xs []int, i int) int { if len(xs) == 0 { return 1 }; if i < 0 { i = -i }; if i < 0 { i = 0 }; return xs[i%len(xs)] }
func m3(i int) int { i %= 3; if i < 0 { i = -i }; return i }
func cut(x float64) float64 { if x != x || x > 1e9 || x < -1e9 { return 1.25 }; return x }
func u8(x uint8) uint8 { return x }
func i8(x int8) int8 { return x }
func u32(x uint32) uint32 { return x }
func i32(x int32) int32 { return x }
func u64(x uint64) uint64 { return x }
func i64(x int64) int64 { return x }
func apply(f func(float64) float64, x float64) float64 { return f(x) + 0.5 }
`)
	n := 1 + g.r.Intn(4)
	for i := 0; i < n; i++ {
		g.function()
	}
	g.scopes = [][]variable{nil}
	g.level = len(g.funcs)
	g.statements(5 + g.r.Intn(8))
	g.show()
	return g.b.String()
}

func (g *generator) line(format string, args ...any) {
	fmt.Fprintf(&g.b, strings.Repeat("\t", g.depth)+format+"\n", args...)
}

func (g *generator) pick(list []string) string { return list[g.r.Intn(len(list))] }

func (g *generator) one(options ...string) string { return g.pick(options) }

func (g *generator) anyType() string {
	if g.r.Intn(5) < 3 {
		return g.pick(scalars)
	}
	return g.pick(composites)
}

func (g *generator) fresh(typ string) string {
	// now and then, a name that hides another
	if len(g.scopes) > 1 && g.r.Intn(6) == 0 {
		outer := g.scopes[g.r.Intn(len(g.scopes)-1)]
		if len(outer) > 0 {
			name := outer[g.r.Intn(len(outer))].name
			taken := false
			for _, v := range g.scopes[len(g.scopes)-1] {
				taken = taken || v.name == name
			}
			if !taken {
				return name
			}
		}
	}
	g.names++
	return fmt.Sprintf("v%d", g.names)
}

func (g *generator) add(name, typ string, fixed bool) {
	i := len(g.scopes) - 1
	g.scopes[i] = append(g.scopes[i], variable{name, typ, fixed})
}

// seen gives the variables of a type that are not hidden.
func (g *generator) seen(typ string, assignable bool) []variable {
	if g.inLit > 0 && (strings.Contains(typ, "func") || typ == "H") {
		return nil // a function literal that calls a variable may come to call itself
	}
	var out []variable
	hidden := map[string]bool{}
	for i := len(g.scopes) - 1; i >= 0; i-- {
		for j := len(g.scopes[i]) - 1; j >= 0; j-- {
			v := g.scopes[i][j]
			if !hidden[v.name] && (v.typ == typ || typ == "") && !(assignable && v.fixed) {
				out = append(out, v)
			}
			hidden[v.name] = true
		}
	}
	return out
}

func (g *generator) function() {
	f := function_{name: fmt.Sprintf("f%d", len(g.funcs))}
	var params []string
	g.scopes = [][]variable{nil}
	for i := 0; i < g.r.Intn(4); i++ {
		t := g.anyType()
		name := fmt.Sprintf("a%d", i)
		f.params = append(f.params, t)
		params = append(params, name+" "+t)
		g.add(name, t, false)
	}
	named := g.r.Intn(3) == 0
	var results []string
	for i := 0; i < 1+g.r.Intn(3); i++ {
		t := g.anyType()
		f.results = append(f.results, t)
		if named {
			results = append(results, fmt.Sprintf("r%d %s", i, t))
			g.add(fmt.Sprintf("r%d", i), t, false)
		} else {
			results = append(results, t)
		}
	}
	g.line("func %s(%s) (%s) {", f.name, strings.Join(params, ", "), strings.Join(results, ", "))
	g.depth++
	g.result, g.inFunc = f.results, true
	g.level = len(g.funcs)
	g.statements(3 + g.r.Intn(5))
	if named && g.r.Intn(2) == 0 {
		g.line("return")
	} else {
		g.line("return %s", g.exprs(f.results, 2))
	}
	g.inFunc = false
	g.depth--
	g.line("}")
	g.funcs = append(g.funcs, f)
}

func (g *generator) exprs(types []string, d int) string {
	out := make([]string, len(types))
	for i, t := range types {
		out[i] = g.expr(t, d)
	}
	return strings.Join(out, ", ")
}

// block writes statements in a block of their own, after its opening line.
func (g *generator) block(n int) {
	g.scopes = append(g.scopes, nil)
	g.depth++
	g.statements(n)
	g.depth--
	g.scopes = g.scopes[:len(g.scopes)-1]
}

func (g *generator) statements(n int) {
	for i := 0; i < n; i++ {
		g.statement()
	}
}

func (g *generator) define() {
	t := g.anyType()
	name := g.fresh(t)
	e := g.expr(t, 3)
	if g.r.Intn(3) == 0 || t == "error" || t == "Series" {
		g.line("var %s %s = %s", name, t, e)
	} else if g.r.Intn(6) == 0 && t != "*P" && !strings.HasPrefix(t, "func") && !strings.HasPrefix(t, "map") {
		g.line("var %s %s", name, t)
	} else {
		g.line("%s := %s", name, g.typed(t, e))
	}
	if len(g.scopes) > 1 || g.inFunc {
		g.line("_ = %s", name)
	}
	g.add(name, t, false)
}

// typed makes an expression keep its type after :=.
func (g *generator) typed(t, e string) string {
	switch t {
	case "int", "float64", "bool", "string", "uint8", "uint64", "int32", "int64", "Volts", "uint32", "int8", "float32", "complex128":
		return t + "(" + e + ")"
	case "func(float64) float64", "func(int) int", "*P":
		return "(" + t + ")(" + e + ")"
	}
	return e
}

func (g *generator) statement() {
	deep := g.depth > 3
	switch k := g.r.Intn(28); {
	case k < 5:
		g.define()
	case k < 8:
		g.assign()
	case k == 8 && !deep:
		g.line("if %s {", g.expr("bool", 2))
		g.block(1 + g.r.Intn(3))
		switch g.r.Intn(3) {
		case 0:
			g.line("} else {")
			g.block(1 + g.r.Intn(2))
		case 1:
			g.line("} else if %s {", g.expr("bool", 2))
			g.block(1)
		}
		g.line("}")
	case k == 9 && !deep && g.loops < 2:
		g.forLoop()
	case k == 10 && !deep && g.loops < 2:
		g.rangeLoop()
	case k == 11 && !deep:
		g.choice()
	case k == 12:
		g.several()
	case k == 13:
		g.opAssign()
	case k == 14 && len(g.funcs) > 0:
		g.callSeveral()
	case k == 15:
		g.show()
	case k == 16 && g.loops > 0:
		g.line("if %s { %s }", g.expr("bool", 2), g.one("break", "continue"))
	case k == 17 && g.inFunc:
		g.line("if %s { return %s }", g.expr("bool", 2), g.exprs(g.result, 2))
	case k == 18:
		if vs := g.seen("[]float64", true); len(vs) > 0 {
			v := vs[g.r.Intn(len(vs))].name
			g.line("%s = append(%s, %s)", v, v, g.expr("float64", 2))
			g.line("if len(%s) > 6 { %s = %s[2:] }", v, v, v)
		}
	case k == 19:
		if vs := g.seen("*P", false); len(vs) > 0 {
			g.line("%s.move(%s)", vs[g.r.Intn(len(vs))].name, g.expr("float64", 1))
		} else if vs := g.seen("P", true); len(vs) > 0 {
			g.line("%s.move(%s)", vs[g.r.Intn(len(vs))].name, g.expr("float64", 1))
		}
	case k == 20 && !deep:
		g.line("{")
		g.block(2)
		g.line("}")
	case k == 21 && !deep:
		g.closure()
	case k == 22:
		g.special()
	case k == 23 && !deep:
		g.nested()
	case k == 24 && !deep:
		g.absent()
	case k == 25 && g.loops < 2:
		g.turns()
	case k == 26 && g.loops < 2:
		g.kept()
	case k == 27 && g.loops < 2:
		g.alias()
	default:
		g.define()
	}
}

func (g *generator) forLoop() {
	g.names++
	i := fmt.Sprintf("i%d", g.names)
	g.line("%s", g.one(
		fmt.Sprintf("for %s := 0; %s < %d; %s++ {", i, i, 1+g.r.Intn(4), i),
		fmt.Sprintf("for %s := %d; %s > 0; %s-- {", i, 1+g.r.Intn(4), i, i),
		fmt.Sprintf("for %s := 0; %s < m3(%s)+1; %s += 2 {", i, i, g.expr("int", 1), i),
		fmt.Sprintf("for %s, z := 0, 9; %s < z-5; %s, z = 10-z, z-1 {", i, i, i),
	))
	g.scopes = append(g.scopes, nil)
	g.add(i, "int", true)
	g.loops++
	g.block(1 + g.r.Intn(3))
	if g.r.Intn(2) == 0 {
		if fs := g.seen("func(int) int", true); len(fs) > 0 {
			g.line("\t%s = func(k int) int { return k + %s }", fs[g.r.Intn(len(fs))].name, i)
		}
	}
	g.loops--
	g.scopes = g.scopes[:len(g.scopes)-1]
	g.line("}")
}

func (g *generator) rangeLoop() {
	over := g.one("[]float64", "[]int", "[3]float64", "[]byte", "[]P", "[2]P", "[]float64")
	elem := map[string]string{"[]float64": "float64", "[]int": "int", "[3]float64": "float64", "[]byte": "uint8", "[]P": "P", "[2]P": "P"}[over]
	g.names++
	i, v := fmt.Sprintf("i%d", g.names), fmt.Sprintf("e%d", g.names)
	x := ""
	if over == "[]byte" {
		x = "[]byte(" + g.expr("string", 1) + ")"
	} else {
		x = g.expr(over, 1)
	}
	if strings.Contains(x, "{") {
		x = "(" + x + ")"
	}
	g.line("for %s, %s := range %s {", i, v, x)
	g.scopes = append(g.scopes, nil)
	g.add(i, "int", g.r.Intn(2) == 0)
	g.add(v, elem, false)
	g.line("\t_, _ = %s, %s", i, v)
	g.loops++
	g.block(1 + g.r.Intn(3))
	if g.r.Intn(3) == 0 && elem == "float64" {
		if fs := g.seen("func(float64) float64", true); len(fs) > 0 {
			g.line("\t%s = func(x float64) float64 { return x - %s }", fs[g.r.Intn(len(fs))].name, v)
		}
	}
	g.loops--
	g.scopes = g.scopes[:len(g.scopes)-1]
	g.line("}")
}

func (g *generator) choice() {
	if g.r.Intn(2) == 0 {
		g.line("switch m3(%s) {", g.expr("int", 2))
		g.line("case 0:")
		g.block(1)
		g.line("case 1, 3:")
		g.block(1 + g.r.Intn(2))
	} else {
		g.line("switch {")
		g.line("case %s:", g.expr("bool", 2))
		g.block(1)
		g.line("case %s:", g.expr("bool", 2))
		g.block(1)
	}
	if g.r.Intn(2) == 0 {
		g.line("default:")
		g.block(1)
	}
	g.line("}")
}
