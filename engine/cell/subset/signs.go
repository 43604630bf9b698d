package subset

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
)

// signed are the functions that give another result for a negative zero than
// for a plain one. The interpreter loses that sign where a value is handed to a
// function of a cell. Of what is divided by a zero the sign is lost with it, but
// nothing infinite can be told.
var signed = map[string]bool{
	"math.Atan2": true, "math.Copysign": true, "math.Signbit": true, "math.Float32bits": true, "math.Float64bits": true,
	"math/cmplx.Acos": true, "math/cmplx.Acosh": true, "math/cmplx.Asin": true, "math/cmplx.Asinh": true, "math/cmplx.Atan": true,
	"math/cmplx.Atanh": true, "math/cmplx.Log": true, "math/cmplx.Log10": true, "math/cmplx.Phase": true, "math/cmplx.Polar": true,
	"math/cmplx.Pow": true, "math/cmplx.Sqrt": true,
}

func (v *meaningWalk) signOfZero(n *ast.SelectorExpr) {
	text := types.ExprString(n)
	v.Refuse(n.Pos(), fmt.Sprintf("%s sees the sign of a zero, which cells do not always keep", text),
		"add 0 to each value that is handed over, x+0 in place of x, so that no sign is left")
}

// maybeNegativeZero tells whether a value may be a zero with a sign: anything
// but a constant, or a sum with a constant 0.
func (v *meaningWalk) maybeNegativeZero(e ast.Expr) bool {
	if v.Info.Types[e].Value != nil {
		return false
	}
	sum, ok := ast.Unparen(e).(*ast.BinaryExpr)
	if !ok || sum.Op != token.ADD {
		return true
	}
	zero := v.Info.Types[sum.Y].Value
	return zero == nil || constant.Sign(constant.Real(zero)) != 0 || constant.Sign(constant.Imag(zero)) != 0
}
