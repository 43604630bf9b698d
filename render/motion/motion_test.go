package motion

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"flag"
	"io"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/language"
	"slipring/engine/tell"
	"slipring/engine/waveform"
	ui "slipring/render/words"
)

var update = flag.Bool("update", false, "write the golden files anew, to be read before they are committed")

// wordsIn gives the words of a language.
func wordsIn(t testing.TB, tag string) *ui.Words {
	t.Helper()
	w, err := ui.In(tag)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func TestGolden(t *testing.T) {
	if runtime.GOARCH != "amd64" {
		t.Skip("golden files are written on amd64; the last bit of a sine may differ elsewhere")
	}
	written := map[string]bool{}
	for _, m := range samples() {
		for _, language := range language.Tags() {
			d, err := Draw(m, Settings{ID: strings.ReplaceAll(m.Name, ".", "-"), Words: wordsIn(t, language)})
			if err != nil {
				t.Fatal(err)
			}
			file := filepath.Join("testdata", m.Name+"."+language+".golden")
			written[file] = true
			got := []byte(d.SVG + "---\n" + strings.ReplaceAll(d.Data, `{"part"`, "\n{\"part\"") + "\n---\n" + d.Description + "\n---\n" + d.Note + "\n")
			if *update {
				if err := os.WriteFile(file, got, 0o644); err != nil {
					t.Fatal(err)
				}
				continue
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Errorf("%v; run the test with -update, and read the file", err)
				continue
			}
			if !bytes.Equal(got, want) {
				t.Errorf("%s differs:\n%s", file, firstDifference(string(got), string(want)))
			}
		}
	}
	files, err := filepath.Glob(filepath.Join("testdata", "*.golden"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no golden files: %v", err)
	}
	for _, f := range files {
		if !written[f] {
			t.Errorf("no drawing belongs to %s", f)
		}
	}
}

func firstDifference(got, want string) string {
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range g {
		if i >= len(w) || g[i] != w[i] {
			line := ""
			if i < len(w) {
				line = w[i]
			}
			return "got  " + g[i] + "\nwant " + line
		}
	}
	return "the file goes on"
}

func TestSameBytes(t *testing.T) {
	for _, m := range samples() {
		a, _ := Draw(m, Settings{})
		b, _ := Draw(m, Settings{})
		if a != b || a.SVG == "" {
			t.Errorf("%s: two drawings differ", m.Name)
		}
	}
}

// number matches what SVG and the script know as a number, of tenths at most.
var strayNumber = regexp.MustCompile(`NaN|Inf|[0-9]e[-+]?[0-9]|\.[0-9]{2,}`)

// sound checks what every drawing must be: well-formed, without styles,
// colours and scripts, with every moving part moved, and text large enough.
func sound(t *testing.T, name string, d Drawing) {
	t.Helper()
	parts := map[string]bool{}
	ids := map[string]bool{}
	dec := xml.NewDecoder(strings.NewReader(d.SVG))
	texts := 0
	for {
		token, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("%s is no XML: %v", name, err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		switch e.Name.Local {
		case "script", "style", "foreignObject", "image", "a", "use":
			t.Errorf("%s holds <%s>", name, e.Name.Local)
		}
		size := ""
		for _, a := range e.Attr {
			v := a.Value
			switch a.Name.Local {
			case "style", "href":
				t.Errorf("%s has %s=%q", name, a.Name.Local, v)
			case "fill", "stroke":
				if v != "none" && v != "currentColor" {
					t.Errorf("%s has the colour %q", name, v)
				}
			case "data-part":
				if parts[v] {
					t.Errorf("%s draws the part %q twice", name, v)
				}
				parts[v] = true
			case "id":
				if ids[v] {
					t.Errorf("%s has the id %q twice", name, v)
				}
				ids[v] = true
			case "font-size":
				size = v
			case "d", "transform", "x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "stroke-width", "viewBox":
				if strayNumber.MatchString(v) {
					t.Errorf("%s has %s=%q", name, a.Name.Local, v)
				}
			}
		}
		if e.Name.Local == "text" {
			texts++
			if size != "34" {
				t.Errorf("%s has text of size %q", name, size)
			}
		}
	}
	if texts < 3 || len(ids) != 3 { // of the drawing, its title and its description
		t.Errorf("%s has %d texts and %d ids", name, texts, len(ids))
	}
	var data struct {
		Frames   int
		Channels map[string][]int
		Parts    []struct{ Part string }
	}
	if err := json.Unmarshal([]byte(d.Data), &data); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if strings.ContainsAny(d.Data, "<>&") {
		t.Errorf("the data of %s hold a character that a page may take for markup", name)
	}
	if data.Frames < 2 || data.Frames > 120 {
		t.Errorf("%s has %d frames", name, data.Frames)
	}
	for channel, values := range data.Channels {
		if len(values) != data.Frames {
			t.Errorf("%s: channel %q has %d values for %d frames", name, channel, len(values), data.Frames)
		}
	}
	for _, p := range data.Parts {
		if !parts[p.Part] {
			t.Errorf("%s moves the part %q, which is not drawn", name, p.Part)
		}
	}
	if d.Description == "" || d.Note == "" || strings.Contains(d.Description+d.Note, "%!") {
		t.Errorf("%s is described as %q, %q", name, d.Description, d.Note)
	}
}

func TestSound(t *testing.T) {
	for _, m := range samples() {
		for _, language := range language.Tags() {
			d, err := Draw(m, Settings{ID: "a", Words: wordsIn(t, language)})
			if err != nil {
				t.Fatal(err)
			}
			sound(t, m.Name+"."+language, d)
			if n := len(d.SVG) + len(d.Data); n > 16000 {
				t.Errorf("%s weighs %d bytes", m.Name, n)
			}
		}
	}
}

// Whatever a cell may tell is drawn soundly.
func TestSoundWhateverIsTold(t *testing.T) {
	rng := rand.New(rand.NewSource(1))
	any := func(low, high float64) float64 { return low + (high-low)*rng.Float64() }
	for range 60 {
		span := math.Exp(any(math.Log(1e-3), math.Log(0.5)))
		from := any(-1, 1)
		size := math.Exp(any(-12, 12))
		signal := func(name, unit string) waveform.Signal {
			return wave(name, unit, from, span, 2+rng.Intn(50), func(float64) float64 { return size * any(-1, 1) })
		}
		contact := func(name string) waveform.Signal {
			var at []float64
			for t := from; rng.Intn(5) > 0; {
				if t += any(0, span/3); t < from+span {
					at = append(at, t)
				}
			}
			return touch(name, from, from+span, at...)
		}
		set := waveform.Set{Signals: []waveform.Signal{
			turning(from, span, any(0.01, 6)),
			signal("weight travel", "mm"), contact("governor contact"),
			signal("plunger travel", "mm"), signal("regulator coil current", "A"), contact("regulator contact"),
			signal("output", "V"), signal("generator field current", "A"), signal("speed", "Hz"),
			signal("bell current", "A"), signal("armature current", "A"), signal("fuse heat", "A2"), signal("pull", "g"),
		}}
		var s tell.Sheet
		s.Motion("governor", set, tell.Size{Name: "contact radius", Number: math.Exp(any(-5, 5)), Unit: "mm"})
		s.Motion("regulator", set)
		s.Motion("bell", set)
		s.Motion("fuse", set, tell.Size{Name: "melting current", Number: math.Exp(any(-5, 5)), Unit: "A"})
		s.Motion("balance", set, tell.Size{Name: "weight", Number: math.Exp(any(-5, 5)), Unit: "g"})
		s.Motion("generator", set, tell.Size{Name: "ring angle", Number: any(-360, 360), Unit: "deg"})
		s.Motion("tone-wheel", set, tell.Size{Name: "teeth", Number: float64(2 + rng.Intn(59))})
		for _, m := range s.Result().Motions {
			d, err := Draw(m, Settings{ID: "a"})
			if err != nil {
				t.Fatalf("%s: %v", m.Name, err)
			}
			sound(t, m.Name, d)
		}
	}
}

func TestDrawFails(t *testing.T) {
	good := samples()[0]
	change := func(f func(*tell.Motion)) tell.Motion {
		m := good
		m.Signals.Signals = append([]waveform.Signal(nil), m.Signals.Signals...)
		f(&m)
		return m
	}
	for _, c := range []struct {
		motion tell.Motion
		s      Settings
		want   string
	}{
		{change(func(m *tell.Motion) { m.Mechanism = "lever" }), Settings{}, `"lever", which is not known`},
		{change(func(m *tell.Motion) { m.Signals.Signals = m.Signals.Signals[:2] }), Settings{}, `lacks the signal "governor contact"`},
		{change(func(m *tell.Motion) { m.Signals.Signals[1].Y = nil }), Settings{}, `has 201 instants and 0 values`},
		{change(func(m *tell.Motion) {
			m.Signals.Signals[1] = wave("weight travel", "mm", 0, 0.05, 5, func(float64) float64 { return math.NaN() })
		}), Settings{}, `has the value NaN`},
		{change(func(m *tell.Motion) { m.Signals.Signals[1] = wave("weight travel", "mm", 1, 2, 5, math.Sin) }), Settings{}, `do not cover any time together`},
		{tell.Motion{Name: "x", Mechanism: tell.Governor}, Settings{}, `motion "x"`},
	} {
		d, err := Draw(c.motion, c.s)
		if err == nil || !strings.Contains(err.Error(), c.want) || d.SVG != "" {
			t.Errorf("got %v, want %q", err, c.want)
		}
	}
}

func TestTitleIsText(t *testing.T) {
	d, err := Draw(samples()[0], Settings{ID: `a"b`, Title: `<b>"&`})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(d.SVG, `&lt;b&gt;&#34;&amp;</title>`) || strings.Contains(d.SVG, "<b>") {
		t.Errorf("the title became markup: %.300s", d.SVG)
	}
	sound(t, "title", d)
}

func BenchmarkDraw(b *testing.B) {
	m := samples()[0]
	for b.Loop() {
		if _, err := Draw(m, Settings{}); err != nil {
			b.Fatal(err)
		}
	}
}

// Where a motion is played on from its end to its beginning, both look alike;
// where they do not, it says that it ends.
func TestEndJoinsBeginning(t *testing.T) {
	for _, m := range drawn(t) {
		f := filmOf(t, m)
		last := f.at(f.From + f.Span)
		alike := true
		for name, first := range f.at(f.From) {
			for i, a := range first {
				if a.name == "display" || name == "trace" || name == "pen" {
					continue // a contact may just then close; a trace begins anew
				}
				b := last[name]
				alike = alike && i < len(b) && b[i].name == a.name && sameTurn(a.value, b[i].value)
			}
		}
		ends := strings.Contains(m.drawing.Data, `"ends":true`)
		once := map[string]bool{"governor.hunting": true, "fuse": true, "fuse.melts": true, "balance": true}
		if hunts := once[m.motion.Name]; ends != hunts || alike == hunts {
			t.Errorf("%s: ends %v, and its ends look alike: %v", m.motion.Name, ends, alike)
		}
	}
}

// sameTurn says whether two attributes show the same, to a px: degrees at the
// beginning of a turn and whole turns later do.
func sameTurn(a, b string) bool {
	x, y := numeral.FindAllString(a, -1), numeral.FindAllString(b, -1)
	if len(x) != len(y) || numeral.ReplaceAllString(a, "#") != numeral.ReplaceAllString(b, "#") {
		return false
	}
	for i := range x {
		p, _ := strconv.ParseFloat(x[i], 64)
		q, _ := strconv.ParseFloat(y[i], 64)
		off := p - q
		if strings.HasPrefix(a, "rotate") && i == 0 {
			off -= 360 * math.Round(off/360)
		}
		if math.Abs(off) > 1.1 {
			return false
		}
	}
	return true
}

// sample is a motion with its drawing.
type sample struct {
	motion  tell.Motion
	drawing Drawing
}

func drawn(t testing.TB) []sample {
	t.Helper()
	var out []sample
	for _, m := range samples() {
		d, err := Draw(m, Settings{})
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, sample{m, d})
	}
	return out
}
