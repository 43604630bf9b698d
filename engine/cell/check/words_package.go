package check

import (
	"fmt"
	"go/types"
	"regexp"
	"slices"
	"strings"

	"slipring/engine/cell/assemble"
)

var (
	barePackage = regexp.MustCompile(`^(?:undefined: (\w+)|use of package (\w+) not in selector|(\w+) (?:\(.+\) )?is not a type)$`)
	notAType    = regexp.MustCompile(`^(\w+)\.(\w+) is not a type$`)
)

// packageWords words a finding about the name of a package that stands alone,
// or that a parameter or variable of the same name hides, as Go lets it.
func (c Checked) packageWords(e types.Error) (text, hint string, ok bool) {
	m, _, _ := strings.Cut(e.Msg, "\n")
	if g := barePackage.FindStringSubmatch(m); g != nil {
		name := g[1] + g[2] + g[3] // all but one are empty
		if assemble.Packages[name] == "" || name == assemble.SheetName || name == assemble.ShelfName || c.hides(name, e) != nil {
			return "", "", false
		}
		return fmt.Sprintf("%q is a package, of which a cell can only use what is in it", name),
			fmt.Sprintf("write a dot and a name after it, such as %s.%s; a variable of your own needs another name", name, c.members(name)[0]), true
	}
	var name, member string
	if g := notAType.FindStringSubmatch(m); g != nil {
		name, member = g[1], g[2]
	} else if g := missingMember.FindStringSubmatch(m); g != nil {
		name, member = g[1], g[4]
	}
	o := c.hides(name, e)
	if o == nil || !slices.Contains(c.members(name), member) {
		return "", "", false
	}
	return fmt.Sprintf("%q is a %s of type %s here, which hides the package: it has no %q", name, kindOf(o), TypeName(o.Type()), member),
		fmt.Sprintf("give the %s another name where %s.%s is meant", kindOf(o), name, member), true
}

// hides gives the constant or variable that has the name of a package where an
// error is, or nil.
func (c Checked) hides(name string, e types.Error) types.Object {
	if assemble.Packages[name] == "" {
		return nil
	}
	for _, sc := range scopesAt(c, e) {
		_, o := sc.LookupParent(name, e.Pos)
		switch o.(type) {
		case *types.Var, *types.Const:
			return o
		}
	}
	return nil
}

func kindOf(o types.Object) string {
	if _, ok := o.(*types.Const); ok {
		return "constant"
	}
	return "variable"
}
