package rewrite

import (
	"fmt"
	"go/ast"
	"go/types"

	"slipring/engine/cell/goerrors"
)

// cuts tells whether a conversion makes a whole number of one with a fraction
// that is not constant, and which.
func (w *writer) cuts(n *ast.CallExpr) *types.Basic {
	tv := w.Info.Types[n]
	if tv.Value != nil || len(n.Args) != 1 {
		return nil
	}
	to, ok := tv.Type.Underlying().(*types.Basic)
	from, isBasic := w.Info.TypeOf(n.Args[0]).Underlying().(*types.Basic)
	if !ok || !isBasic || to.Info()&types.IsInteger == 0 || from.Info()&types.IsFloat == 0 {
		return nil
	}
	return to
}

// fitting names the function that cuts off a number's fraction, and fails
// where the rest does not fit. Go leaves open what becomes of it then: it
// differs between processors, and between compiler and interpreter.
// (The Go Programming Language Specification, "Conversions between numeric types".)
func (w *writer) fitting(to *types.Basic) string {
	name, ok := w.cutters[to.Name()]
	if !ok {
		name = w.fresh("cut")
		w.cutters[to.Name()] = name
		w.imports["fmt"] = "fmt"
		bits := 8 * types.SizesFor("gc", "amd64").Sizeof(to)
		// All of these are numbers that a float64 holds exactly.
		inside := fmt.Sprintf("x > -1 && x < 0x1p%d", bits)
		switch {
		case to.Info()&types.IsUnsigned != 0:
		case bits == 64:
			inside = "x >= -0x1p63 && x < 0x1p63"
		default:
			inside = fmt.Sprintf("x > -0x1p%d-1 && x < 0x1p%[1]d", bits-1)
		}
		fmt.Fprintf(&w.after, "func %s(x float64) %s {\n\tif !(%s) {\n\t\tpanic(fmt.Sprint(x, %q))\n\t}\n\treturn %[2]s(x)\n}\n\n",
			name, to.Name(), inside, goerrors.Fits+to.Name())
	}
	return name
}
