package plot

import (
	"regexp"
	"strings"
	"testing"
)

// What was measured is told from what was computed without colour: by a class of
// its own, which the sheet draws in dots, and by a word for who listens and who
// reads the numbers.
func TestMeasuredIsTold(t *testing.T) {
	f := overlaid()
	d, err := Draw(f, Settings{ID: "x", Title: "Measured over computed"})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(regexp.MustCompile(`class="(line|key) [^"]*measured`).FindAllString(d.SVG, -1)); n != 2 {
		t.Errorf("%d paths are drawn as measured, want the line and its key", n)
	}
	if strings.Index(d.SVG, `"line line-1"`) > strings.Index(d.SVG, `"line line-2 measured"`) {
		t.Error("the computed line lies over the measured one")
	}
	for _, words := range []string{"Output, on the screen (measured): between", "On the screen (measured), as far as we know: between", "Output, computed: between"} {
		if !strings.Contains(d.SVG, words) {
			t.Errorf("a listener is not told %q", words)
		}
	}
	head, _, _ := strings.Cut(string(CSV(f)), "\n")
	if want := "output on the screen measured (V)"; !strings.Contains(head, want) || strings.Contains(head, "computed measured") {
		t.Errorf("the numbers are headed %s", head)
	}
}
