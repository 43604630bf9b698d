package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every test that the section on threats names is there, in the package that
// the text names before it, if any.
func TestThreatsNameTests(t *testing.T) {
	_, section, found := strings.Cut(string(must(os.ReadFile(filepath.Join(root, "DEVELOPERS.md")))), "\n## Threats\n")
	section, _, ended := strings.Cut(section, "\n## ")
	if !found || !ended {
		t.Fatal("DEVELOPERS.md has no section on threats")
	}
	where := map[string][]string{} // folders by the name of a test in them
	declared := regexp.MustCompile(`(?m)^func (Test\w+)\(`)
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, "_test.go") {
			return err
		}
		folder, err := filepath.Rel(root, filepath.Dir(name))
		for _, m := range declared.FindAllStringSubmatch(string(must(os.ReadFile(name))), -1) {
			where[m[1]] = append(where[m[1]], filepath.ToSlash(folder))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	named := 0
	for _, line := range strings.Split(section, "\n") {
		folder := ""
		for _, m := range regexp.MustCompile("`([a-z/]+|Test\\w+)`").FindAllStringSubmatch(line, -1) {
			word := m[1]
			if !strings.HasPrefix(word, "Test") {
				if info, err := os.Stat(filepath.Join(root, filepath.FromSlash(word))); err == nil && info.IsDir() {
					folder = word
				}
				continue
			}
			named++
			ok := false
			for _, f := range where[word] {
				ok = ok || folder == "" || f == folder
			}
			if !ok {
				t.Errorf("%s is said to be in %q, and is in %q", word, folder, where[word])
			}
		}
	}
	if named < 25 {
		t.Errorf("only %d tests are named", named)
	}
}
