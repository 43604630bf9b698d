package child

import (
	"bytes"
	"context"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/cell/assemble"
	"slipring/engine/cell/check"
	"slipring/engine/cell/goerrors"
	"slipring/engine/cell/symbols"
)

// The interpreter says that an index is out of range, but neither which nor of
// what. To look at each index on the way would make cells many times slower, so
// that it is done after the fact: cells do the same each time, and a second run
// of a program that looks comes to the same place.

// located gives the failure of an index with the index, the length and the
// expression in it, and any other failure as it is.
func located(ctx context.Context, p *assemble.Program, ask request, fail *failure) *failure {
	if fail.Text != goerrors.OutOfRange {
		return fail
	}
	ask.Source = looking(p.Source)
	if ask.Source == nil {
		return fail
	}
	_, again := askChild(ctx, ask)
	if again == nil || again.Mark != fail.Mark {
		return fail // an index that is not looked at, or no time for a second run
	}
	quoted, _ := strings.CutPrefix(again.Text, ownPanic)
	if text, err := strconv.Unquote(quoted); err == nil && strings.Contains(text, isOut) {
		fail.Text = text
	}
	return fail
}

const (
	ownPanic = "the cell stops here with panic: " // as panicked says it

	isOut = " is out of range: the index is "

	// indexName is the function that looks at an index.
	indexName = "__index"
)

// lookAt is that function, in an assembled file.
var lookAt = fmt.Sprintf(`

func %s(i, n int, what, of string) int {
	if i >= 0 && i < n {
		return i
	}
	elements := " elements"
	if n == 1 {
		elements = " element"
	}
	panic(what + %q + __strconv.Itoa(i) + ", and " + of + " has " + __strconv.Itoa(n) + elements)
}
`, indexName, isOut)

// looking gives an assembled file in which each index of a list, an array or a
// text goes through a function that compares it with the length, or nil where
// there is none. What is indexed is then written twice, so that those are left
// as they are that call something.
func looking(assembled []byte) []byte {
	files := token.NewFileSet()
	file, err := parser.ParseFile(files, "", assembled, parser.SkipObjectResolution)
	if err != nil {
		return nil
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
	conf := types.Config{GoVersion: check.GoVersion, Importer: symbols.Importer(), Sizes: types.SizesFor("gc", "amd64")}
	if _, err := conf.Check("cells", files, []*ast.File{file}, info); err != nil {
		return nil
	}
	text := func(n ast.Node) string { return string(assembled[n.Pos()-file.FileStart : n.End()-file.FileStart]) }
	type insertion struct {
		at   token.Pos
		text string
	}
	var all []insertion
	ast.Inspect(file, func(n ast.Node) bool {
		x, ok := n.(*ast.IndexExpr)
		if !ok || info.Types[x.Index].Type == nil || !listed(info.Types[x.X].Type) || callsAny(x.X) {
			return true
		}
		what, of := text(x), text(x.X)
		switch ours := "__"; { // begins names that the author did not write
		case strings.Contains(of, ours):
			what, of = "an element", "the list"
		case strings.Contains(what, ours):
			what = of + "[...]"
		}
		all = append(all,
			insertion{x.Index.Pos(), indexName + "(int("},
			insertion{x.Index.End(), fmt.Sprintf("), len(%s), %s, %s)", text(x.X), strconv.Quote(what), strconv.Quote(of))})
		return true
	})
	if len(all) == 0 {
		return nil
	}
	slices.SortFunc(all, func(a, b insertion) int { return int(a.at - b.at) })
	var out bytes.Buffer
	last := 0
	for _, in := range all {
		at := int(in.at - file.FileStart)
		out.Write(assembled[last:at])
		out.WriteString(in.text)
		last = at
	}
	out.Write(assembled[last:])
	out.WriteString(lookAt)
	const before = "import (\n"
	return bytes.Replace(out.Bytes(), []byte(before), []byte(before+"\t__strconv \"strconv\"\n"), 1)
}

// listed tells whether a type has elements that are counted.
func listed(t types.Type) bool {
	if t == nil {
		return false
	}
	u := t.Underlying()
	if p, ok := u.(*types.Pointer); ok {
		u = p.Elem().Underlying()
	}
	switch u := u.(type) {
	case *types.Slice, *types.Array:
		return true
	case *types.Basic:
		return u.Info()&types.IsString != 0
	}
	return false
}

// callsAny tells whether an expression calls a function.
func callsAny(e ast.Expr) bool {
	found := false
	ast.Inspect(e, func(n ast.Node) bool {
		_, call := n.(*ast.CallExpr)
		found = found || call
		return !found
	})
	return found
}
