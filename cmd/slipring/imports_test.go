package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// ours says, for each package of the module, which other packages of the
// module its code may import. It is the architecture: lessons -> engine ->
// render -> site -> cmd, and nothing flows back. A package that is not in the
// list fails the test, and so does an entry for a package that is gone.
var ours = map[string][]string{
	"engine/ode":        {},
	"engine/equation":   {},
	"engine/waveform":   {"engine/equation"},
	"engine/wiring":     {"engine/equation"},
	"engine/diag":       {},
	"engine/replace":    {},
	"engine/folder":     {"engine/diag"},
	"engine/store":      {"engine/replace"},
	"engine/capture":    {"engine/diag", "engine/waveform"},
	"engine/sweeptest":  {},
	"engine/fit":        {},
	"engine/drift":      {},
	"engine/circuit":    {"engine/diag", "engine/equation"},
	"engine/cutting":    {"engine/circuit", "engine/equation", "engine/wiring"},
	"engine/reconcile":  {"engine/circuit", "engine/diag", "engine/equation", "engine/folder", "engine/rows"},
	"engine/dictionary": {"engine/sift"},
	"engine/sift":       {"engine/equation"},
	"engine/machine":    {"engine/equation", "engine/ode", "engine/waveform"},
	"engine/card":       {"engine/diag", "engine/rows", "engine/circuit", "engine/cutting", "engine/machine"},
	"engine/tell":       {"engine/waveform"},
	"engine/bench": {
		"engine/circuit", "engine/cutting", "engine/reconcile", "engine/dictionary", "engine/machine", "engine/waveform", "engine/tell", "engine/reading", "engine/calibrate", "engine/fit", "engine/drift", "engine/watch"},
	"engine/story":    {"engine/equation", "engine/circuit", "engine/cutting", "engine/reconcile", "engine/sift", "engine/machine", "engine/waveform", "engine/wiring", "engine/bench"},
	"engine/language": {"engine/diag", "engine/folder"},
	"engine/rows":     {"engine/diag"},
	"engine/reading":  {"engine/diag", "engine/folder", "engine/rows", "engine/machine"},
	"engine/lesson":   {"engine/capture", "engine/diag", "engine/folder", "engine/language", "engine/reading", "engine/rows"},
	"engine/cell/symbols": {
		"engine/machine", "engine/waveform", "engine/wiring", "engine/bench", "engine/tell"},
	"engine/cell/symbols/generate": {},
	"engine/cell/goerrors":         {},
	"engine/cell/assemble":         {"engine/circuit", "engine/cutting", "engine/reconcile", "engine/diag", "engine/lesson", "engine/bench", "engine/reading", "engine/cell/goerrors"},
	"engine/cell/check":            {"engine/diag", "engine/lesson", "engine/cell/goerrors", "engine/cell/assemble"},
	"engine/cell/subset":           {"engine/cell/goerrors", "engine/cell/assemble", "engine/cell/check"},
	"engine/cell/rewrite":          {"engine/cell/goerrors", "engine/cell/assemble", "engine/cell/check"},
	"engine/cell/child": {
		"engine/diag", "engine/tell", "engine/machine", "engine/circuit", "engine/cutting", "engine/reconcile", "engine/bench", "engine/reading", "engine/cell/goerrors", "engine/cell/assemble",
		"engine/cell/symbols", "engine/cell/check"},
	"engine/cell": {
		"engine/diag", "engine/lesson", "engine/tell", "engine/machine", "engine/circuit", "engine/cutting", "engine/reconcile", "engine/bench", "engine/reading", "engine/capture", "engine/cell/symbols",
		"engine/cell/assemble", "engine/cell/check", "engine/cell/subset", "engine/cell/rewrite", "engine/cell/child"},
	"engine/calibrate": {"engine/fit", "engine/reading", "engine/machine", "engine/tell"},
	"engine/watch":     {"engine/drift", "engine/fit", "engine/reading"},
	"engine/logbook": {
		"engine/diag", "engine/folder", "engine/language", "engine/lesson", "engine/card", "engine/machine", "engine/reading", "engine/tell", "engine/proof"},
	"engine/proof": {"engine/diag", "engine/language", "engine/card", "engine/lesson", "engine/tell", "engine/machine", "engine/reading"},

	"render/plot":                {"engine/store", "engine/tell", "engine/waveform", "render/words", "render/markup"},
	"render/schematic":           {"engine/tell", "render/words", "render/markup"},
	"render/strips":              {"engine/tell", "render/words", "render/markup"},
	"render/motion":              {"engine/card", "engine/tell", "engine/waveform", "render/scene", "render/words", "render/markup"},
	"render/scene":               {"engine/card", "render/markup"},
	"render/chart":               {"engine/tell"},
	"render/math":                {"render/markup"},
	"render/words":               {"engine/language"},
	"render/markup":              {},
	"render/browser":             {},
	"render/browser/browsertest": {"render/browser", "engine/sweeptest"},
	"render/page": {
		"engine/language", "engine/lesson", "engine/tell", "engine/proof", "engine/machine", "engine/card", "engine/diag",
		"engine/equation", "engine/story",
		"render/plot", "render/motion", "render/schematic", "render/strips", "render/math", "render/words"},

	"site":         {"engine/...", "render/...", "site/publish"},
	"site/publish": {"engine/diag"},
	"site/preview": {"engine/diag"},
	"cmd/slipring": {"engine/...", "render/...", "site", "site/..."},
}

// theirs says which packages may import a library (or a part of the standard
// library) that should stay behind one door.
var theirs = []struct {
	prefix string
	only   []string
}{
	{"github.com/yuin/goldmark", []string{"engine/lesson"}},
	{"github.com/traefik/yaegi", []string{"engine/cell/child", "engine/cell/symbols"}},
	{"github.com/pelletier/go-toml", []string{"engine/card", "engine/language", "engine/lesson"}},
	{"gonum.org/v1/plot", []string{"render/plot"}},
	{"net/http", []string{"site/preview"}},
	{"os/exec", []string{"engine/cell/child", "render/browser"}},
	{"syscall/js", nil},
	{"math/rand", []string{"engine/sweeptest"}},
}

// small lists all that engine/ode and engine/machine may import besides ours,
// so that the model also fits into a page.
var small = []string{"cmp", "errors", "fmt", "maps", "math", "slices", "sort", "strconv", "strings"}

func TestImportPolicy(t *testing.T) {
	const module = "slipring"
	root := filepath.Join("..", "..")
	seen := map[string]bool{}
	err := fs.WalkDir(os.DirFS(root), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && name != "." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata" || d.Name() == "visit") {
			return fs.SkipDir
		}
		if d.IsDir() || path.Ext(name) != ".go" {
			return nil
		}
		inTest := strings.HasSuffix(name, "_test.go")
		pkg := path.Dir(name)
		may, known := ours[pkg]
		if !known {
			t.Errorf("%s: package %s is not in the import policy; add it to the table with what it may import", name, pkg)
			return nil
		}
		seen[pkg] = true
		file, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, filepath.FromSlash(name)), nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, spec := range file.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if inner, ok := strings.CutPrefix(imported, module+"/"); ok {
				// A test may look at more of the engine than the code it tests,
				// but not at what comes after it.
				if !allowed(inner, may) && inner != pkg && !(inTest && !later(inner, pkg)) {
					t.Errorf("%s imports %s; %s may import only %v", name, inner, pkg, may)
				}
				if testsOnly(inner) && !inTest && !testsOnly(pkg) {
					t.Errorf("%s imports %s, which is for tests", name, inner)
				}
				continue
			}
			if inTest {
				continue
			}
			for _, door := range theirs {
				if (imported == door.prefix || strings.HasPrefix(imported, door.prefix+"/")) && !slices.Contains(door.only, pkg) {
					t.Errorf("%s imports %s, which belongs to %v", name, imported, door.only)
				}
			}
			if (pkg == "engine/ode" || pkg == "engine/machine") && !slices.Contains(small, imported) {
				t.Errorf("%s imports %s; %s keeps to %v", name, imported, pkg, small)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for pkg := range ours {
		if !seen[pkg] {
			t.Errorf("the import policy names %s, which holds no Go file", pkg)
		}
	}
}

// testsOnly says whether a package is there for tests alone.
func testsOnly(pkg string) bool { return strings.HasSuffix(pkg, "test") }

// allowed says whether an import is in the list, where "x/..." stands for all
// packages below x.
func allowed(imported string, may []string) bool {
	for _, m := range may {
		if imported == m {
			return true
		}
		if below, ok := strings.CutSuffix(m, "..."); ok && strings.HasPrefix(imported, below) {
			return true
		}
	}
	return false
}

// later says whether the first path element of a package stands after that of
// another in the flow lessons -> engine -> render -> site -> cmd.
func later(a, b string) bool {
	order := []string{"engine", "render", "site", "cmd"}
	first := func(p string) int { return slices.Index(order, strings.SplitN(p, "/", 2)[0]) }
	return first(a) > first(b)
}

// The table itself must not let anything flow back.
func TestImportPolicyPointsOneWay(t *testing.T) {
	for pkg, may := range ours {
		for _, m := range may {
			if later(m, pkg) {
				t.Errorf("the policy lets %s import %s, which comes after it", pkg, m)
			}
		}
	}
}

// Only what the project agreed on stands at the top of the repository.
func TestTopLevel(t *testing.T) {
	agreed := []string{"cmd", "lessons", "engine", "render", "site", "go.mod", "go.sum", "README.md", "DEVELOPERS.md", "visit", "prints", "slipring", "slipring.exe"}
	entries, err := os.ReadDir(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") && !slices.Contains(agreed, e.Name()) && !strings.HasPrefix(e.Name(), "visit.") {
			t.Errorf("%s stands at the top of the repository, where only %v and dot files may", e.Name(), agreed)
		}
	}
	for _, name := range agreed[:9] {
		if _, err := os.Stat(filepath.Join("..", "..", name)); err != nil {
			t.Errorf("the top of the repository lacks %s", name)
		}
	}
}
