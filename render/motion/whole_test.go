package motion

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/tell"
	"slipring/engine/waveform"
	"slipring/render/scene"
)

const someScene = `title = "All of it"
width = 800
height = 600
[disc]
draws = "governor"
at = [300, 300]
name = "governor"
[line]
draws = "wire"
at = [[100, 100], [400, 120]]
[lead]
draws = "feeder"
at = [[100, 200], [400, 200]]
[bell]
draws = "bell"
at = [600, 300]
`

func readScene(t testing.TB) card.Scene {
	t.Helper()
	s, messages := card.ReadScene("scene.toml", []byte(someScene), scene.Shapes(), scene.Materials())
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	return s
}

// wholeSet is one turn with invented numbers.
func wholeSet(signals ...string) tell.Motion {
	all := waveform.Set{Starts: []float64{0, 0.05}}
	for _, g := range []waveform.Signal{
		turning(0, 0.05, 1),
		wave("output current", "A", 0, 0.05, 201, func(p float64) float64 { return 0.5 * math.Sin(2*math.Pi*p) }),
		wave("armature current", "A", 0, 0.05, 201, func(float64) float64 { return 3 }),
		touch("governor contact", 0, 0.05, 0.01, 0.03),
	} {
		for _, name := range append(signals, "shaft angle") {
			if g.Name == name {
				all.Signals = append(all.Signals, g)
			}
		}
	}
	var s tell.Sheet
	s.Motion("set", all)
	return s.Result().Motions[0]
}

func TestWholeSet(t *testing.T) {
	s := readScene(t)
	d, err := Draw(wholeSet("output current", "armature current", "governor contact"), Settings{ID: "all", Scene: s})
	if err != nil {
		t.Fatal(err)
	}
	for decoder := xml.NewDecoder(strings.NewReader(d.SVG)); ; {
		if _, err := decoder.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	// two wires, the governor's disc and its contact, the hammer
	if n := strings.Count(d.SVG, "data-part="); n != 5 {
		t.Errorf("%d things move:\n%s", n, d.SVG)
	}
	if !strings.Contains(d.Note, "Dashes") || !strings.Contains(d.Description, "40 %") {
		t.Errorf("told as %q, %q", d.Description, d.Note)
	}
	alone, err := Draw(wholeSet(), Settings{Scene: s})
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(alone.SVG, "data-part="); n != 1 || strings.Contains(alone.Note, "Dashes") {
		t.Errorf("with the shaft's angle alone %d things move, and it says %q", n, alone.Note)
	}
}

func TestWholeSetRefuses(t *testing.T) {
	if _, err := Draw(wholeSet(), Settings{}); err == nil || !strings.Contains(err.Error(), "write it into scene.toml") {
		t.Errorf("without a drawing: %v", err)
	}
	s := readScene(t)
	s.Parts = s.Parts[3:]
	if _, err := Draw(wholeSet(), Settings{Scene: s}); err == nil || !strings.Contains(err.Error(), "nothing in scene.toml moves") {
		t.Errorf("with nothing that turns: %v", err)
	}
}

// After a turn all is where it was, so that it plays on without a jump, and an
// alternating current has carried nothing on.
func TestWholeSetJoins(t *testing.T) {
	c, err := read(wholeSet("output current", "armature current", "governor contact"))
	if err != nil {
		t.Fatal(err)
	}
	f := wholeFilm(c, words{wordsIn(t, "en")}, readScene(t))
	if f.Ends {
		t.Error("the film ends")
	}
	drift, sway := f.Channels[scene.ByBattery], f.Channels[scene.ByOutput]
	last := len(drift) - 1
	if drift[last] != 10*scene.Dash*turnDashes {
		t.Errorf("the battery's dashes go on by %d tenths", drift[last])
	}
	if d := sway[last] - sway[0]; d < -joined || d > joined {
		t.Errorf("the bells' dashes go on by %d tenths", d)
	}
	// The hammer lies on the side to which the current flows.
	for i, h := range f.Channels[scene.ByHammer] {
		if y := c.sampled("output current")[i]; math.Abs(y) > 0.05 && float64(h)*y < 0 {
			t.Errorf("frame %d: a current of %v A with the hammer at %d", i, y, h)
		}
	}
}

// The script draws dashes as Go does.
func TestScriptSlides(t *testing.T) {
	vm := script(t)
	m := wholeSet("output current", "armature current", "governor contact")
	d, err := Draw(m, Settings{Scene: readScene(t)})
	if err != nil {
		t.Fatal(err)
	}
	c, err := read(m)
	if err != nil {
		t.Fatal(err)
	}
	f := wholeFilm(c, words{wordsIn(t, "en")}, readScene(t))
	vm.Set("data", d.Data)
	if _, err := vm.RunString("var film = films.read(data)"); err != nil {
		t.Fatal(err)
	}
	seen := 0
	for i := range 50 {
		part := (float64(i) + 0.37) / 50
		want := f.at(f.From + part*f.Span)
		var got [][3]*string
		call(t, vm, &got, "films.at(film, %v * film.span)", part)
		for _, one := range got {
			for _, a := range want[*one[0]] {
				if a.name == *one[1] && (one[2] == nil || a.value != *one[2]) {
					t.Errorf("%v of the film: %s %s should be %s", part, *one[0], a.name, a.value)
				}
				if a.name == "stroke-dashoffset" {
					seen++
				}
			}
		}
	}
	if seen == 0 {
		t.Error("no dashes move")
	}
}
