package main

import (
	"fmt"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// checkTalk: a talk is one page, says that it is invented, has room for ten to
// sign, and has no type smaller than 12 pt.
func checkTalk(t *testing.T, file, paper string) {
	name := paper + " " + filepath.Base(file)
	if info := tool(t, "pdfinfo", file); !regexp.MustCompile(`(?m)^Pages:\s+1$`).MatchString(info) {
		t.Errorf("%s is not one page:\n%s", name, info)
	}
	text := strings.Join(strings.Fields(tool(t, "pdftotext", file, "-")), " ")
	invented, sign := "This story is invented.", "Name, signature"
	if strings.HasSuffix(file, ".fr.pdf") {
		invented, sign = "Cette histoire est inventée.", "Nom, signature"
	}
	if !strings.Contains(text, invented) || strings.Count(text, sign) != 10 {
		t.Errorf("%s does not say %q, or does not ask ten to sign: %s", name, invented, text)
	}
	const zoom = 3 // the most; sizes are written in whole points
	sizes := regexp.MustCompile(`<fontspec [^>]*size="(\d+)"`).FindAllStringSubmatch(tool(t, "pdftohtml", "-xml", "-i", "-stdout", "-zoom", fmt.Sprint(zoom), file), -1)
	if len(sizes) == 0 {
		t.Errorf("%s has no type", name)
	}
	for _, m := range sizes {
		if size, err := strconv.Atoi(m[1]); err != nil || size < 12*zoom {
			t.Errorf("%s has type of %d/%d pt", name, size, zoom)
		}
	}
}
