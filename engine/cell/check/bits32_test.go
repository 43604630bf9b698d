package check

import (
	"go/ast"
	"go/build"
	"go/parser"
	"go/token"
	"go/types"
	"os/exec"
	"strings"
	"testing"
)

// Wherever an int has not the size that cells are checked with, nothing is
// built.
func TestNotOf32Bits(t *testing.T) {
	known, err := exec.Command("go", "tool", "dist", "list").Output()
	if err != nil {
		t.Fatal(err)
	}
	refused := 0
	for _, system := range strings.Fields(string(known)) {
		c := build.Default
		c.GOOS, c.GOARCH, _ = strings.Cut(system, "/")
		stops, err := c.MatchFile(".", "bits32.go")
		if err != nil {
			t.Fatal(err)
		}
		if small := types.SizesFor("gc", c.GOARCH).Sizeof(types.Typ[types.Int]) < 8; small != stops {
			t.Errorf("%s has small ints: %v; it is refused: %v", system, small, stops)
		}
		if stops {
			refused++
		}
	}
	if refused < 4 {
		t.Errorf("only %d systems are refused", refused)
	}
	files := token.NewFileSet()
	file, err := parser.ParseFile(files, "bits32.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	_, err = new(types.Config).Check("cell", files, []*ast.File{file}, nil)
	if err == nil || !strings.Contains(err.Error(), "undefined: cells_need_a_system_of_64_bits") {
		t.Errorf("for 32 bits, the compiler says %v", err)
	}
}
