package plot

import (
	"regexp"
	"strings"
	"testing"

	"slipring/engine/tell"
)

// A band moves with its line: each of its areas is a path of the frames, and
// each is wider than the one on it. What names it stays, since it says the same
// wherever the knob stands.
func TestBandsOfFrames(t *testing.T) {
	var s tell.Sheet
	s.Knob("load", tell.Turn("load", 1, 3, "A").In(3), func(load float64) {
		s.Draw("f", tell.Over("time", "s").Show("speed", "Hz",
			tell.Curve("speed", []float64{0, 1, 2}, []float64{0, load, 0}).Doubt([]float64{0, load, 0})))
	})
	r := s.Result()
	d, err := Draw(r.Figures[0], Settings{Knobs: r.Knobs})
	if err != nil {
		t.Fatal(err)
	}
	moves := regexp.MustCompile(`<path class="(band band-1|line line-1)"[^>]* data-moves="(\d)"`).FindAllStringSubmatch(d.SVG, -1)
	if len(moves) != 4 || len(d.Frames.Paths) != 4 {
		t.Fatalf("%d paths move, %d are kept", len(moves), len(d.Frames.Paths))
	}
	for i, m := range moves {
		if want := map[bool]string{true: "line line-1", false: "band band-1"}[i == 3]; m[1] != want {
			t.Errorf("path %d is a %s, not a %s: lines stand on their bands", i, m[1], want)
		}
	}
	// in steps from the left end, the second is up to the peak of the upper edge
	for frame := range 3 {
		last := 1 << 20
		for i := range 3 {
			p := d.Frames.Paths[i]
			rise := -p.Steps[p.Form[frame]][3]
			if rise <= 0 || rise >= last {
				t.Errorf("frame %d: area %d rises by %d tenths of a px, the one below by %d", frame, i, rise, last)
			}
			last = rise
		}
	}
	if n := strings.Count(d.SVG, "as far as we know</text>"); n != 1 {
		t.Errorf("the band is named %d times", n)
	}
	if want := "Speed, as far as we know: between −3 and 9 Hz at 1 s, where the doubt is greatest."; !strings.Contains(d.Frames.Descriptions[2], want) {
		t.Errorf("%q", d.Frames.Descriptions[2])
	}
	if csv := string(CSV(r.Figures[0], r.Knobs...)); !strings.Contains(csv, "speed least (Hz),speed most (Hz)") || !strings.Contains(csv, "3,1,3,-3,9\r\n") {
		t.Error(csv)
	}
}

// Where there is no room behind the name of the quantity, the band is named
// below it; a still drawing has the same.
func TestBandNamedBelow(t *testing.T) {
	f := slowing()
	f.Panes[0].Y.Label = strings.Repeat("speed of the shaft ", 3)
	wide, err := Draw(f, Settings{Width: 680})
	if err != nil {
		t.Fatal(err)
	}
	narrow, err := Draw(f, Settings{Width: 480, Still: true})
	if err != nil {
		t.Fatal(err)
	}
	height := func(d Drawing) string {
		return regexp.MustCompile(`viewBox="0 0 \S+ (\S+)"`).FindStringSubmatch(d.SVG)[1]
	}
	if height(wide) >= height(narrow) || strings.Count(narrow.SVG, "as far as we know</text>") != 1 {
		t.Errorf("%s px high with room, %s px without", height(wide), height(narrow))
	}
}
