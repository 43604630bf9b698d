package cell

import (
	"fmt"
	"strings"
)

// expr writes an expression of a type, d levels deep at most.
func (g *generator) expr(t string, d int) string {
	if vs := g.seen(t, false); len(vs) > 0 && (d == 0 || g.r.Intn(3) == 0) {
		return vs[g.r.Intn(len(vs))].name
	}
	if d > 0 && g.r.Intn(7) == 0 {
		if c := g.call(t, d-1); c != "" {
			return c
		}
	}
	e := func(t string) string { return g.expr(t, d-1) }
	if d <= 0 {
		return g.leaf(t)
	}
	switch t {
	case "int":
		return g.intExpr(e, d)
	case "float64":
		return g.floatExpr(e, d)
	case "bool":
		ct := g.one("int", "float64", "string", "uint8", "uint64", "int64")
		switch g.r.Intn(7) {
		case 0:
			return fmt.Sprintf("(%s && %s)", e("bool"), e("bool"))
		case 1:
			return fmt.Sprintf("(%s || %s)", e("bool"), e("bool"))
		case 2:
			return "!" + "(" + e("bool") + ")"
		case 3:
			return fmt.Sprintf("(%s) == (%s)", e("complex128"), e("complex128"))
		default:
			return fmt.Sprintf("(%s %s %s)", e(ct), g.one("<", ">", "<=", ">=", "==", "!="), e(ct))
		}
	case "string":
		switch g.r.Intn(6) {
		case 0:
			return fmt.Sprintf("(%s + %s)", e("string"), e("string"))
		case 1:
			return fmt.Sprintf("strings.ToUpper(%s)", e("string"))
		case 2:
			return fmt.Sprintf("fmt.Sprintf(\"%%.3g|%%d\", %s, %s)", e("float64"), e("int"))
		case 3:
			return fmt.Sprintf("strconv.Itoa(%s)", e("int"))
		case 4:
			return fmt.Sprintf("string([]byte{%s%%26 + 97, 'k'})", e("uint8"))
		}
	case "uint8", "uint64", "int32", "int64", "uint32", "int8":
		switch g.r.Intn(6) {
		case 0, 1:
			return fmt.Sprintf("(%s %s %s)", e(t), g.one("+", "-", "*", "&", "|", "^", "&^"), e(t))
		case 2:
			return fmt.Sprintf("(%s %s %d)", e(t), g.one("<<", ">>"), g.r.Intn(9))
		case 3:
			return fmt.Sprintf("%s(%s)", t, e(g.one("int", "uint8", "uint64", "int64", "int32")))
		case 4:
			return fmt.Sprintf("(%s %s %d)", e(t), g.one("/", "%"), 1+g.r.Intn(9))
		case 5:
			return g.one("-", "^") + "(" + e(t) + ")"
		}
	case "float32":
		switch g.r.Intn(3) {
		case 0:
			return fmt.Sprintf("(%s %s %s)", e(t), g.one("+", "-", "*"), e(t))
		case 1:
			return fmt.Sprintf("float32(cut(%s))", e("float64"))
		}
	case "complex128":
		switch g.r.Intn(4) {
		case 0:
			return fmt.Sprintf("(%s %s %s)", e(t), g.one("+", "-", "*"), e(t))
		case 1:
			return fmt.Sprintf("complex(%s, %s)", e("float64"), e("float64"))
		case 2:
			return fmt.Sprintf("cmplx.Conj(%s)", e(t))
		}
	case "Volts":
		switch g.r.Intn(4) {
		case 0:
			return fmt.Sprintf("(%s %s %s)", e("Volts"), g.one("+", "-", "*"), e("Volts"))
		case 1:
			return fmt.Sprintf("Volts(%s)", e("float64"))
		case 2:
			return fmt.Sprintf("Volts(%s).twice()", e("Volts"))
		}
	case "[]float64":
		switch g.r.Intn(4) {
		case 0:
			return fmt.Sprintf("[]float64{%s, %s}", e("float64"), e("float64"))
		case 1:
			return fmt.Sprintf("append([]float64{}, %s...)", e("[]float64"))
		case 2:
			return fmt.Sprintf("make([]float64, m3(%s)+1)", e("int"))
		}
	case "[][]float64":
		return fmt.Sprintf("[][]float64{%s, {%s}}", e("[]float64"), e("float64"))
	case "Series":
		return fmt.Sprintf("Series{%s, %s}", e("float64"), e("float64"))
	case "[]int":
		return fmt.Sprintf("[]int{%s, %s, %s}", e("int"), e("int"), e("int"))
	case "[3]float64":
		return fmt.Sprintf("[3]float64{%s, 2: %s}", e("float64"), e("float64"))
	case "[3]int":
		return fmt.Sprintf("[3]int{%s, %s}", e("int"), e("int"))
	case "P":
		switch g.r.Intn(3) {
		case 0:
			return fmt.Sprintf("P{x: %s, n: %s}", e("float64"), e("int"))
		case 1:
			return fmt.Sprintf("(P{%s, %s, %s, [2]float64{%s}, %s})", e("float64"), e("float64"), e("int"), e("float64"), e("[]int"))
		case 2:
			if vs := g.seen("[2]P", false); len(vs) > 0 {
				return fmt.Sprintf("%s[m3(%s)/2]", vs[0].name, e("int"))
			}
		}
	case "*P":
		if vs := g.seen("P", true); len(vs) > 0 && g.r.Intn(2) == 0 {
			return "&" + vs[0].name
		}
		return fmt.Sprintf("&P{y: %s}", e("float64"))
	case "[]P":
		return fmt.Sprintf("[]P{%s, {x: %s}}", e("P"), e("float64"))
	case "[2]P":
		return fmt.Sprintf("[2]P{%s}", e("P"))
	case "map[string]float64":
		return fmt.Sprintf("map[string]float64{\"a\": %s, \"c\": %s}", e("float64"), e("float64"))
	case "map[int]P":
		return fmt.Sprintf("map[int]P{1: {x: %s}, 0: %s}", e("float64"), e("P"))
	case "[]func(float64) float64":
		return fmt.Sprintf("[]func(float64) float64{%s, %s}", e("func(float64) float64"), e("func(float64) float64"))
	case "map[string][]float64":
		return fmt.Sprintf("map[string][]float64{\"a\": {%s}, \"k\": %s}", e("float64"), e("[]float64"))
	case "H":
		return fmt.Sprintf("H{f: %s, m: %s}", e("func(float64) float64"), e("map[string]float64"))
	case "[]string":
		return fmt.Sprintf("[]string{%s, %s}", e("string"), e("string"))
	case "[][2]float64":
		return fmt.Sprintf("[][2]float64{{%s, %s}, {%s}}", e("float64"), e("float64"), e("float64"))
	case "map[string]int":
		return fmt.Sprintf("map[string]int{\"q\": %s}", e("int"))
	case "error":
		return fmt.Sprintf("fmt.Errorf(\"no %%v\", %s)", e("float64"))
	case "func(float64) float64":
		if g.r.Intn(4) == 0 {
			return fmt.Sprintf("adder(%s)", e("float64"))
		}
		return g.lit(t, d)
	case "func(int) int":
		return g.lit(t, d)
	}
	return g.leaf(t)
}

func (g *generator) lit(t string, d int) string {
	elem := "float64"
	if t == "func(int) int" {
		elem = "int"
	}
	g.names++
	x := fmt.Sprintf("x%d", g.names)
	g.scopes = append(g.scopes, []variable{{x, elem, false}})
	g.inLit++
	body := g.expr(elem, d)
	g.inLit--
	g.scopes = g.scopes[:len(g.scopes)-1]
	return fmt.Sprintf("func(%s %s) %s { return %s }", x, elem, elem, body)
}

func (g *generator) intExpr(e func(string) string, d int) string {
	switch g.r.Intn(11) {
	case 0, 1, 2:
		return fmt.Sprintf("(%s %s %s)", e("int"), g.one("+", "-", "*", "&", "|", "^"), e("int"))
	case 3:
		if g.r.Intn(3) == 0 {
			return fmt.Sprintf("int(%s)", g.shift(e))
		}
		return fmt.Sprintf("(%s %s %d)", e("int"), g.one("/", "%", "<<", ">>"), 1+g.r.Intn(5))
	case 4:
		return fmt.Sprintf("len(%s)", e(g.one("[]float64", "[]int", "string", "map[string]float64")))
	case 5:
		return fmt.Sprintf("int(cut(%s))", e("float64"))
	case 6:
		return fmt.Sprintf("ati(%s, %s)", e("[]int"), e("int"))
	case 7:
		return fmt.Sprintf("(%s)[m3(%s)]", e("[3]int"), e("int"))
	case 8:
		return fmt.Sprintf("int(%s)", e(g.one("uint8", "int64", "int32", "uint64", "int8", "uint32")))
	case 9:
		if vs := g.seen("func(int) int", false); len(vs) > 0 {
			return fmt.Sprintf("%s(%s)", vs[0].name, e("int"))
		}
	case 10:
		if vs := g.seen("P", false); len(vs) > 0 {
			return vs[g.r.Intn(len(vs))].name + ".n"
		}
	}
	return g.leaf("int")
}

// shift shifts a constant of some type, and that again, for a conversion.
func (g *generator) shift(e func(string) string) string {
	s := fmt.Sprintf("%s(%d)<<(%s%%%d)", g.one("int", "int64", "uint8", "int32"), 1+g.r.Intn(120), e("uint8"), 1+g.r.Intn(40))
	if g.r.Intn(2) == 0 {
		s += fmt.Sprintf(">>%d", g.r.Intn(30))
	}
	return s
}

func (g *generator) floatExpr(e func(string) string, d int) string {
	switch g.r.Intn(18) {
	case 0, 1, 2:
		return fmt.Sprintf("(%s %s %s)", e("float64"), g.one("+", "-", "*"), e("float64"))
	case 3: // never divide by zero, whose sign the interpreter may lose
		return fmt.Sprintf("(%s / (math.Abs(%s) + 0.25))", e("float64"), e("float64"))
	case 4:
		return fmt.Sprintf("math.%s(%s)", g.one("Sqrt", "Abs", "Sin", "Floor", "Exp", "Tanh"), e("float64"))
	case 5:
		if g.r.Intn(3) == 0 {
			return fmt.Sprintf("float64(%s)", g.shift(e))
		}
		return fmt.Sprintf("float64(%s)", e(g.one("int", "uint8", "int64", "Volts", "float32", "uint64")))
	case 6:
		return fmt.Sprintf("at(%s, %s)", e("[]float64"), e("int"))
	case 7:
		return fmt.Sprintf("(%s)[m3(%s)]", e("[3]float64"), e("int"))
	case 8:
		return fmt.Sprintf("apply(%s, %s)", e("func(float64) float64"), e("float64"))
	case 9:
		if vs := g.seen("P", false); len(vs) > 0 {
			return vs[g.r.Intn(len(vs))].name + g.one(".x", ".y", ".a[1]", ".norm()")
		}
	case 10:
		if vs := g.seen("map[string]float64", false); len(vs) > 0 {
			return fmt.Sprintf("%s[%q]", vs[g.r.Intn(len(vs))].name, g.one("a", "b", "c"))
		}
	case 11:
		if vs := g.seen("func(float64) float64", false); len(vs) > 0 {
			return fmt.Sprintf("%s(%s)", vs[g.r.Intn(len(vs))].name, e("float64"))
		}
	case 12:
		return "-(" + e("float64") + ")"
	case 13:
		if g.r.Intn(2) == 0 {
			return g.one(
				fmt.Sprintf("math.Atan2(%s+0, %s+0)", e("float64"), e("float64")),
				fmt.Sprintf("cmplx.Phase(%s+0)", e("complex128")),
				fmt.Sprintf("math.Copysign(%s+0, 0-(%s)+0)", e("float64"), e("float64")))
		}
		return fmt.Sprintf("real(%s)", e("complex128"))
	case 14:
		return fmt.Sprintf("steps(m3(%s), %s)", e("int"), e("float64"))
	case 15:
		return fmt.Sprintf("sum(%s, %s)", e("float64"), g.one(e("float64"), e("[]float64")+"...", e("float64")+", 2.5"))
	case 16:
		return fmt.Sprintf("run(%s, %s)", e("[]func(float64) float64"), e("float64"))
	case 17:
		if vs := g.seen("H", false); len(vs) > 0 {
			return vs[0].name + g.one(".call(1.5)", `.m["a"]`)
		}
	}
	return g.leaf("float64")
}

func (g *generator) leaf(t string) string {
	switch t {
	case "int":
		return fmt.Sprint(g.r.Intn(7))
	case "float64", "Volts", "float32":
		return g.one("0.5", "1.25", "3", "0.1", "2.7", "1e-3", "7.0/3", "math.Pi")
	case "bool":
		return g.one("true", "false")
	case "string":
		return g.one(`"ab"`, `"xyz"`, `""`, `"é"`)
	case "uint8", "int8":
		return fmt.Sprintf("%c%s(%d)", t[0], t[len(t)-1:], g.r.Intn(100))
	case "uint64", "int64", "uint32", "int32":
		return fmt.Sprintf("%c%s(%d)", t[0], t[len(t)-2:], g.r.Intn(1<<31-1))
	case "complex128":
		return g.one("(1+2i)", "0.5i", "3")
	case "[]float64", "[]int", "[3]float64", "[3]int", "Series", "map[string]float64", "P", "[]P", "[2]P", "map[int]P":
		if t == "P" || strings.HasPrefix(t, "[") {
			return "(" + t + "{})"
		}
		return t + "{}"
	case "[][]float64":
		return "[][]float64{{1, 2}, {3}}"
	case "[]func(float64) float64":
		return "[]func(float64) float64{math.Sin, math.Cos}"
	case "map[string][]float64", "map[string]int", "H":
		return "(" + t + "{})"
	case "[]string":
		return `[]string{"a"}`
	case "[][2]float64":
		return "[][2]float64{{1, 2}}"
	case "*P":
		return "&P{x: 1.5}"
	case "error":
		return `errors.New("no")`
	case "func(float64) float64":
		return g.one("math.Cos", "func(x float64) float64 { return x + 1 }")
	case "func(int) int":
		return "func(k int) int { return k - 1 }"
	}
	panic(t)
}

// call writes a call of an earlier function whose only result has the type.
func (g *generator) call(t string, d int) string {
	var fit []function_
	for _, f := range g.funcs[:min(g.level, len(g.funcs))] {
		if len(f.results) == 1 && f.results[0] == t {
			fit = append(fit, f)
		}
	}
	if len(fit) == 0 {
		return ""
	}
	f := fit[g.r.Intn(len(fit))]
	return fmt.Sprintf("%s(%s)", f.name, g.exprs(f.params, d))
}
