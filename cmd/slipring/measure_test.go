package main

import (
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// A picture of a screen with one trace, 10 by 8 divisions of 60 pixels, and what
// the command says of it with its flags, as text and as JSON.
func TestMeasurePicture(t *testing.T) {
	const high, period = 84.0, 140.0 // pixels
	img := image.NewRGBA(image.Rect(0, 0, 680, 560))
	for y := range 560 {
		for x := range 680 {
			c := color.RGBA{12, 16, 20, 255}
			onX, onY := x >= 40 && x <= 640 && y >= 40 && y <= 520, (x-40)%60 == 0 || (y-40)%60 == 0
			if onX && onY {
				c = color.RGBA{95, 100, 105, 255}
			}
			phase := math.Mod(float64(x)-70+2*period, period)
			up := phase < high
			edge := phase < 2 || phase > period-2 || math.Abs(phase-high) < 2
			if x >= 40 && x <= 640 && (up && y >= 158 && y <= 161 || !up && y >= 398 && y <= 401 || edge && y >= 158 && y <= 401) {
				c = color.RGBA{255, 220, 60, 255}
			}
			img.SetRGBA(x, y, c)
		}
	}
	file := filepath.Join(t.TempDir(), "screen.png")
	out := must(os.Create(file))
	must(0, png.Encode(out, img))
	must(0, out.Close())

	flags := []string{"measure", "-json", "-per-division", "0.02,20", "-divisions", "10,8", "-trace", "contact=#FFDC3C", file}
	code, text := call(flags...)
	var entries []entry
	if err := json.Unmarshal([]byte(text[:strings.LastIndex(text, "]")+1]), &entries); err != nil || code != exitClean {
		t.Fatalf("exits %d, %v:\n%s", code, err, text)
	}
	want := map[string]struct {
		value float64
		unit  string
	}{
		"fraction high": {high / period, ""}, "fraction low": {1 - high/period, ""}, "period": {period / 60 * 0.02, "s"}, "frequency": {60 / period / 0.02, "Hz"},
		"peak to peak": {80, "V"}, "edges a turn": {2, ""},
	}
	for _, e := range entries {
		w, ok := want[e.Name]
		if !ok {
			continue
		}
		delete(want, e.Name)
		if e.File != file || e.Channel != "contact" || e.Unit != w.unit || math.Abs(e.Value-w.value) > 2.5*e.Uncertainty+1e-9 {
			t.Errorf("%+v; drawn %g %s", e, w.value, w.unit)
		}
	}
	if len(want) > 0 {
		t.Errorf("not given: %v", want)
	}
	// 0 V lies on the lower level, two divisions below the middle line
	if code, text = call(flags...); code != exitClean || strings.Contains(text, `"mean"`) {
		t.Errorf("exits %d, and gives the mean without knowing 0 V:\n%s", code, text)
	}
	code, text = call(append([]string{"measure", "-json", "-zero", "contact=-2"}, flags[2:]...)...)
	entries = nil
	if err := json.Unmarshal([]byte(text[:strings.LastIndex(text, "]")+1]), &entries); err != nil || code != exitClean {
		t.Fatalf("exits %d, %v:\n%s", code, err, text)
	}
	i := slices.IndexFunc(entries, func(e entry) bool { return e.Name == "mean" })
	if i < 0 || math.Abs(entries[i].Value-80*high/period) > 2.5*entries[i].Uncertainty {
		t.Errorf("the mean is not the 80 V for %g of the time: %+v", high/period, entries)
	}
	flags[1] = "-corners"
	flags = append(flags[:2], append([]string{"40,40 640,40 640,520 40,520"}, flags[2:]...)...)
	if code, text = call(flags...); code != exitClean || !strings.Contains(text, "fraction high") || !strings.Contains(text, "looked for and not found") {
		t.Errorf("exits %d, and says\n%s", code, text)
	}
	flags[2] = "640,40 40,40 40,520 640,520"
	if code, text = call(flags...); code != exitWrong || !strings.Contains(text, fmt.Sprintf("%s: the four corners do not go around the screen clockwise\n    give the corners", file)) {
		t.Errorf("exits %d, and says\n%s", code, text)
	}
}

// Flags of measure that make no sense.
func TestMeasureCalledWrongly(t *testing.T) {
	for _, c := range []struct{ flag, text, want string }{
		{"-corners", "1,2 3,4 5,6", "is not four places\n    write them clockwise"},
		{"-corners", "1,2 3,4 5,6 7", "is not four places"},
		{"-per-division", "fast", "is not a time and volts\n    write seconds and volts"},
		{"-per-division", "0.01,-20", "is not a time and volts"},
		{"-divisions", "10", "is not two whole numbers"},
		{"-divisions", "10,8.5", "is not two whole numbers"},
		{"-trace", "contact=yellow", "such as -trace contact=#FFE040"},
		{"-trace", "=#FFE040", "such as -trace contact=#FFE040"},
		{"-zero", "contact=low", "is not a name and a number from -40 to 40: write a trace's name"},
		{"-zero", "=-3", "names no trace"},
	} {
		if code, text := call("measure", c.flag, c.text, "x.png"); code != exitUsage || !strings.Contains(text, c.want) {
			t.Errorf("%s %q: exits %d, and says\n%s", c.flag, c.text, code, text)
		}
	}
}
