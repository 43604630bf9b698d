package check

import (
	"fmt"
	"go/types"
	"regexp"
	"strings"

	"slipring/engine/cell/assemble"
	"slipring/engine/cell/goerrors"
	"slipring/engine/diag"
)

var (
	undefinedName   = regexp.MustCompile(`^undefined: (\w+)$`)
	undefinedMember = regexp.MustCompile(`^undefined: (\w+)\.(\w+)(?: \(but have \w+\))?$`)
	hiddenMember    = regexp.MustCompile(`^name (\w+) not exported by package (\w+)$`)
	missingField    = regexp.MustCompile(`^unknown field (\w+) in struct literal of type (.+?)(?:, but does have \w+)?$`)
	missingMember   = regexp.MustCompile(`^(.+)\.(\w+) undefined \(type (.+) has no field or method (\w+)(.*)\)$`)
	barePackage     = regexp.MustCompile(`^(?:undefined: (\w+)|use of package (\w+) not in selector|(\w+) (?:\(.+\) )?is not a type)$`)
	passingName     = regexp.MustCompile(`__v\d+`)
	place           = regexp.MustCompile(` at \S+:\d+:\d+`)
)

// typeWords words one finding of the type checker.
func (c Checked) typeWords(e types.Error) (text, hint string) {
	m, _, _ := strings.Cut(e.Msg, "\n")
	m = strings.NewReplacer(assemble.SheetAlias, assemble.SheetName, assemble.ShelfAlias, assemble.ShelfName, "cells.", "").Replace(m)
	m = passingName.ReplaceAllString(m, "this value")
	m = place.ReplaceAllString(m, "")

	if g := barePackage.FindStringSubmatch(m); g != nil {
		name := g[1] + g[2] + g[3] // all but one are empty
		if assemble.Packages[name] != "" && name != assemble.SheetName && name != assemble.ShelfName {
			return fmt.Sprintf("%q is a package, of which a cell can only use what is in it", name),
				fmt.Sprintf("write a dot and a name after it, such as %s.%s; a variable of your own needs another name", name, c.members(name)[0])
		}
	}
	if g := undefinedName.FindStringSubmatch(m); g != nil {
		if c.beforeDot(e.Pos) && diag.Nearest(g[1], c.names(e)) == "" {
			return fmt.Sprintf("%q is neither a variable nor a package that cells have", g[1]), assemble.AtHand()
		}
		return fmt.Sprintf("%q is not known here", g[1]), c.nearName(g[1], e)
	}
	if g := undefinedMember.FindStringSubmatch(m); g != nil {
		return c.noMember(g[1], g[2])
	}
	if g := hiddenMember.FindStringSubmatch(m); g != nil {
		return c.noMember(g[2], g[1])
	}
	if g := missingMember.FindStringSubmatch(m); g != nil {
		text = fmt.Sprintf("%s has no %q", g[1], g[4])
		return text, c.nearField(e, g[4])
	}
	if g := missingField.FindStringSubmatch(m); g != nil {
		return fmt.Sprintf("%s has no field called %q", g[2], g[1]), c.nearField(e, g[1])
	}
	if text, hint, ok := goerrors.Type(m); ok {
		return text, hint
	}
	return m, "change it so that the types fit; numbers with a decimal point are float64"
}
