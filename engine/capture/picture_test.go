package capture

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"
)

// The cases that a prototype fixed, with what must hold (shared design,
// measuring: "Cases to draw and test").
func TestPicturesOfTheDesign(t *testing.T) {
	one := shown{width: 640, turns: 4.3, high: 0.40, late: 40, begin: 0.13, thick: 3, frameOut: 40}
	two := one
	two.jpeg, two.noise = 60, 5
	three := one
	three.width, three.jpeg, three.thick, three.columns, three.frameOut = 2000, 90, 9, 500, 100
	four := one
	four.turns, four.columns, four.begin, four.late = 5, 500, 0.0342, 41
	five := one
	five.width, five.slant, five.k1, five.noise, five.moire, five.thick, five.frameOut = 2000, 0.25, 0.03, 5, 6, 7, 120
	six := one
	six.thick, six.turns = 12, 3
	for _, c := range []struct {
		name               string
		shown              shown
		fraction, period   float64 // what they may be off; period as a part
		phase              float64
		leastDoubt, within float64 // of the fraction; in its deviations
		mostDoubt          float64
	}{
		{"640 PNG", one, 0.0015, 0.001, 0.4, 0.001, 2.5, 0.003},
		{"JPEG 60, noise", two, 0.0025, 0.002, 0.6, 0.001, 2.5, 0.004},
		{"2000, 500 columns", three, 0.005, 0.002, 1, 0.0015, 2.5, 1},
		{"500 columns in step", four, 1, 0.01, 5, 0.0029, 2.5, 1},
		{"slanted", five, 0.001, 0.0005, 0.6, 0, 2.5, 1},
		{"thick", six, 0.0015, 0.002, 1, 0, 2.5, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := c.shown.read(t, quiet(), c.shown.slant > 0)
			d := value(t, r, "contact", FractionHigh)
			p := value(t, r, "contact", Period)
			f := value(t, r, "contact", Phase)
			t.Logf("fraction %.5f ± %.5f (%g), period off %.5f ± %.5f, phase %.3f ± %.3f (%g) %v", d.Value, d.Uncertainty, c.shown.high,
				p.Value/c.shown.period()-1, p.Uncertainty/p.Value, f.Value, f.Uncertainty, c.shown.late, r.Messages)
			if off := math.Abs(d.Value - c.shown.high); off > c.fraction || off > c.within*d.Uncertainty {
				t.Errorf("the fraction is %.5f ± %.5f", d.Value, d.Uncertainty)
			}
			if d.Uncertainty < c.leastDoubt || d.Uncertainty > c.mostDoubt {
				t.Errorf("the fraction's doubt is %.5f", d.Uncertainty)
			}
			if off := math.Abs(p.Value/c.shown.period() - 1); off > c.period {
				t.Errorf("the period is off by %.5f", off)
			}
			if off := math.Abs(f.Value - c.shown.late); off > c.phase {
				t.Errorf("the phase is %.3f", f.Value)
			}
		})
	}
}

// What cannot be read is one error with a next step.
func TestPictureRefusals(t *testing.T) {
	plain := shown{width: 640, turns: 4.3, high: 0.40, late: 40, begin: 0.13, thick: 3, frameOut: 40}
	content, corners := plain.file(t, quiet())
	both := []Trace{{"contact", yellow}, {"bell", blue}}
	turned := []Point{corners[1], corners[0], corners[3], corners[2]}
	narrow := plain
	narrow.high, narrow.thick = 0.06, 6
	narrowContent, _ := narrow.file(t, quiet())
	grey := []Trace{{"contact", color.RGBA{100, 101, 100, 255}}}
	for name, c := range map[string]struct {
		content []byte
		screen  Screen
		want    string
	}{
		"no such colour":     {content, Screen{Traces: []Trace{{"coil", color.RGBA{255, 0, 160, 255}}}}, `the colour of trace "coil" is not there`},
		"a grey":             {content, Screen{Traces: grey}, `the colour of trace "contact" is a grey`},
		"too much alike":     {content, Screen{Traces: []Trace{both[0], {"coil", color.RGBA{255, 200, 60, 255}}}}, `the colours of traces "contact" and "coil" are too much alike`},
		"corners turned":     {content, Screen{Traces: both, Corners: turned}, "the four corners do not go around the screen clockwise"},
		"corners far away":   {content, Screen{Traces: both, Corners: []Point{{0, 0}, {9000, 0}, {9000, 9000}, {0, 9000}}}, "corner 2, 9000,0, lies far outside"},
		"no such graticule":  {content, Screen{Traces: both, Columns: 14, Rows: 11}, "no graticule of 14 by 11 divisions"},
		"cut short":          {content[:len(content)/2], Screen{}, "the picture cannot be read to its end: "},
		"another kind":       {[]byte("GIF89a and so on"), Screen{}, "this is no PNG or JPEG that can be read"},
		"200 megapixels":     {headerOf(20000, 10000), Screen{}, "the picture has 200 megapixels, and may have 50"},
		"a stamp":            {headerOf(60, 40), Screen{}, "the picture has only 60 by 40 pixels"},
		"0 V of no trace":    {content, Screen{Traces: both, Zeros: []Zero{{Trace: "coil"}}}, `0 V is given for a trace "coil", and no trace is called so`},
		"a pulse too narrow": {narrowContent, Screen{Traces: both[:1]}, "its own thickness, which is too narrow"},
	} {
		got, messages := ReadPicture("x.png", bytes.NewReader(c.content), c.screen)
		said := fmt.Sprint(messages)
		if got != nil || len(messages) != 1 || !strings.Contains(said, "x.png: ") || !strings.Contains(said, c.want) || !strings.Contains(said, "\n    ") {
			t.Errorf("%s: says %s; want %q", name, said, c.want)
		}
	}
}

// headerOf is the beginning of a PNG of this size, without its pixels (PNG
// specification, section 11.2.2).
func headerOf(width, height uint32) []byte {
	chunk := []byte("IHDR")
	chunk = binary.BigEndian.AppendUint32(chunk, width)
	chunk = binary.BigEndian.AppendUint32(chunk, height)
	chunk = append(chunk, 8, 2, 0, 0, 0)
	out := []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d")
	out = append(out, chunk...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(chunk))
}

// Colours, corners and names may all be left out where the screen lies straight.
func TestPictureWithoutHelp(t *testing.T) {
	s := shown{width: 640, turns: 4.3, high: 0.40, late: 40, begin: 0.13, thick: 3, frameOut: 40, jpeg: 90}
	content, corners := s.file(t, quiet())
	c, messages := ReadPicture("x.jpg", bytes.NewReader(content), Screen{})
	if c == nil || len(c.Channels) != 2 {
		t.Fatal(messages)
	}
	img, _, err := image.Decode(bytes.NewReader(content))
	if err != nil {
		t.Fatal(err)
	}
	found, ok := newPhoto(img).findFrame(10, 8)
	for i := range found {
		if !ok || math.Hypot(found[i].X-corners[i].X, found[i].Y-corners[i].Y) > 1.5 {
			t.Errorf("corner %d found at %v, drawn at %v", i+1, found[i], corners[i])
		}
	}
	r := Measure(c)
	if said := fmt.Sprint(messages); !strings.Contains(said, "the time a division is not given") || !strings.Contains(said, "the volts a division are not given") {
		t.Errorf("says %s", said)
	}
	fraction := false
	for _, x := range r.Results {
		if x.Name == Period || x.Name == Frequency || x.Name == RMS {
			t.Errorf("gives %s without being told the scales", x.Name)
		}
		if strings.Contains(x.Why, "each to") && !strings.Contains(x.Why, "of a division") {
			t.Errorf("%s is from %q, and nobody said how long a division is", x.Name, x.Why)
		}
		fraction = fraction || x.Name == FractionHigh && math.Abs(x.Value-0.4) < 0.003
	}
	if !fraction {
		t.Errorf("no fraction: %v", r)
	}
}

// With the lines of the graticule gone, four corners of a slanted picture leave
// the period unsure by half a per cent or more.
func TestFourCornersAlone(t *testing.T) {
	s := shown{width: 900, turns: 4.3, high: 0.40, late: 40, begin: 0.13, thick: 4, frameOut: 60, slant: 0.25, k1: 0.03, unlined: true}
	r := s.read(t, quiet(), true)
	p := value(t, r, "contact", Period)
	if p.Uncertainty < 0.005*p.Value || math.Abs(p.Value-s.period()) > 2.5*p.Uncertainty {
		t.Errorf("period %g ± %g, drawn %g", p.Value, p.Uncertainty, s.period())
	}
	if said := fmt.Sprint(r.Messages); !strings.Contains(said, "places of the graticule's lines were found") {
		t.Errorf("says %s", said)
	}
}

// Corners one cell inside the graticule show by lines that go on.
func TestCornersInside(t *testing.T) {
	s := shown{width: 640, turns: 4.3, high: 0.40, late: 40, begin: 0.13, thick: 3, frameOut: 40}
	content, c := s.file(t, quiet())
	cell := 64.0
	up := 60.0
	inner := []Point{{c[0].X + cell, c[0].Y + up}, {c[1].X - cell, c[1].Y + up}, {c[2].X - cell, c[2].Y - up}, {c[3].X + cell, c[3].Y - up}}
	_, messages := ReadPicture("x.png", bytes.NewReader(content), Screen{Columns: 8, Rows: 6, Corners: inner})
	if said := fmt.Sprint(messages); !strings.Contains(said, "go on beyond the corners") {
		t.Errorf("says %s", said)
	}
}

// Heights of a picture, from where 0 V is said to lie: levels are drawn at 7 and 4.6
// divisions from the top, the sine 1.6 high about 2.3, and the middle line is at 4.
func TestPictureHeights(t *testing.T) {
	plain := shown{width: 640, turns: 4.3, high: 0.40, late: 40, begin: 0.13, thick: 3, frameOut: 40}
	middle, own := plain, plain
	middle.zeros = []Zero{{}}
	own.zeros = []Zero{{Trace: "contact", Divisions: -3}, {Trace: "bell", Divisions: 1.7}}
	rms := func(of ...float64) float64 { return math.Sqrt(of[0]*of[0] + of[1]*of[1]/2) }
	for _, c := range []struct {
		zeros         string
		shown         shown
		channel, name string
		want          float64
	}{
		{"none", plain, "contact", PeakToPeak, 2.4}, {"none", plain, "bell", PeakToPeak, 3.2}, {"none", plain, "bell", Distortion, 0},
		{"middle", middle, "contact", PeakToPeak, 2.4}, {"middle", middle, "contact", Mean, -3*0.6 - 0.6*0.4},
		{"middle", middle, "contact", RMS, math.Sqrt(9*0.6 + 0.36*0.4)},
		{"middle", middle, "bell", PeakToPeak, 3.2}, {"middle", middle, "bell", Mean, 1.7}, {"middle", middle, "bell", RMS, rms(1.7, 1.6)},
		{"middle", middle, "contact", EdgesATurn, 2},
		{"own", own, "contact", Mean, 2.4 * 0.4}, {"own", own, "contact", RMS, 2.4 * math.Sqrt(0.4)}, {"own", own, "contact", PeakToPeak, 2.4},
		{"own", own, "bell", Mean, 0}, {"own", own, "bell", RMS, rms(0, 1.6)}, {"own", own, "bell", HalfDifference, 0},
	} {
		got := value(t, c.shown.read(t, quiet(), false), c.channel, c.name)
		// where 0 V lies is read to a tenth of a division, an even distribution
		most := 0.02
		if c.name == Mean || c.name == RMS || c.name == HalfDifference {
			most = math.Hypot(0.02, 0.1/math.Sqrt(12))
		}
		if math.Abs(got.Value-c.want) > 2.5*got.Uncertainty || got.Uncertainty > most {
			t.Errorf("0 V %s: %s of %s: %g ± %g, drawn %g", c.zeros, c.name, c.channel, got.Value, got.Uncertainty, c.want)
		}
		if c.name == Mean && got.Uncertainty < 0.1/math.Sqrt(12) {
			t.Errorf("0 V %s: the mean of %s is surer than the place of 0 V: %g", c.zeros, c.channel, got.Uncertainty)
		}
	}
}

// A trace may be shifted to anywhere on a screen. What counts from 0 V is left out
// where nobody says where that lies, with what to give; for each trace by itself.
func TestPictureWithoutZero(t *testing.T) {
	s := shown{width: 640, turns: 4.3, high: 0.40, late: 40, begin: 0.13, thick: 3, frameOut: 40, zeros: []Zero{{Trace: "bell", Divisions: 1.7}}}
	r := s.read(t, quiet(), false)
	left := map[string]bool{}
	for _, m := range r.Missing {
		if strings.Contains(m.Why, "0 V") {
			left[m.Channel+" "+m.Name] = true
			if want := `where 0 V lies is not given; give it in divisions above the middle line, such as -zero "contact=-3"`; m.Why != want {
				t.Errorf("%s of %s: says %q, want %q", m.Name, m.Channel, m.Why, want)
			}
		}
	}
	for _, name := range []string{Mean, RMS, HalfDifference, Distortion} {
		if !left["contact "+name] {
			t.Errorf("the %s of the contact is not left out for want of 0 V: %v", name, r.Missing)
		}
		delete(left, "contact "+name)
	}
	if len(left) > 0 {
		t.Errorf("left out, too: %v", left)
	}
	for text, u := range map[string]float64{"contact=-3": 0.1, "contact=-3.0": 0.1, "-3.00": 0.01, "contact=-3.000": 0.001} {
		var screen Screen
		if slip := screen.AddZero(text); slip != nil {
			t.Fatal(slip)
		}
		s.zeros = screen.Zeros
		mean, u := value(t, s.read(t, quiet(), false), "contact", Mean), u/math.Sqrt(12)
		if mean.Uncertainty < u || mean.Uncertainty > math.Hypot(u, 0.012) || math.Abs(mean.Value-2.4*0.4) > 2.5*mean.Uncertainty {
			t.Errorf("0 V %s: the mean is %g ± %g, drawn %g", text, mean.Value, mean.Uncertainty, 2.4*0.4)
		}
	}
	for _, x := range r.Results {
		if strings.Contains(x.Why, "middle line") {
			t.Errorf("%s of %s: %s", x.Name, x.Channel, x.Why)
		}
	}
	for _, c := range []struct {
		declared bool
		want     string
	}{{false, `-zero "bell=-3"`}, {true, `zeros = "bell=-3"`}} {
		if got := (Screen{Declared: c.declared}).write("zero", "bell=-3"); got != c.want {
			t.Errorf("says to write %s, want %s", got, c.want)
		}
	}
}

// Oklab's published check values (B. Ottosson, "A perceptual color space for
// image processing", 2020, from memory: white has lightness 1 and no chroma) and
// sRGB red as CSS Color 4 gives it: 0.62796, 0.22486, 0.12585.
func TestOklab(t *testing.T) {
	for _, c := range []struct{ got, want lab }{
		{toLab(1, 1, 1), lab{1, 0, 0}},
		{toLab(1, 0, 0), lab{0.62796, 0.22486, 0.12585}},
	} {
		if math.Abs(c.got.l-c.want.l) > 1e-4 || math.Abs(c.got.a-c.want.a) > 1e-4 || math.Abs(c.got.b-c.want.b) > 1e-4 {
			t.Errorf("%v, want %v", c.got, c.want)
		}
	}
}

// Nothing of a picture's own words gets out: a JPEG with a device's name and a
// place in it measures as without, and no result holds them.
func TestNothingPersonal(t *testing.T) {
	s := shown{width: 640, turns: 4.3, high: 0.40, late: 40, begin: 0.13, thick: 3, frameOut: 40, jpeg: 90}
	content, _ := s.file(t, quiet())
	secret := "Exif\x00\x00a device of somebody, at 45.1 N 5.7 E"
	var marked []byte
	marked = append(marked, content[:2]...)
	marked = append(marked, 0xff, 0xe1, 0, byte(len(secret)+2))
	marked = append(marked, secret...)
	marked = append(marked, content[2:]...)
	screen := Screen{TimePerDivision: 1, VoltsPerDivision: 1}
	a, _ := ReadPicture("x", bytes.NewReader(content), screen)
	b, messages := ReadPicture("x", bytes.NewReader(marked), screen)
	if b == nil {
		t.Fatal(messages)
	}
	first, second := fmt.Sprintf("%+v", Measure(a)), fmt.Sprintf("%+v", Measure(b))
	if first != second || strings.Contains(second, "somebody") {
		t.Errorf("the words in a picture change what is measured:\n%s\n%s", first, second)
	}
}

// A photograph of 12 megapixels: about a second and 60 MB is the goal.
func BenchmarkPhotograph(b *testing.B) {
	s := shown{width: 3700, turns: 4.3, high: 0.40, late: 40, begin: 0.13, thick: 16, frameOut: 160, slant: 0.2, k1: 0.02, jpeg: 90}
	content, corners := s.file(b, quiet())
	b.ReportAllocs()
	for b.Loop() {
		c, messages := ReadPicture("x", bytes.NewReader(content), Screen{TimePerDivision: 1, VoltsPerDivision: 1, Corners: corners, Traces: []Trace{{"contact", yellow}, {"bell", blue}}})
		if c == nil {
			b.Fatal(messages)
		}
		Measure(c)
	}
}

// The corners of a slanted screen are found too, near enough for the lattice to
// put them right.
func TestSlantedWithoutCorners(t *testing.T) {
	for _, slant := range []float64{0.1, 0.2, 0.3} {
		s := shown{width: 900, turns: 4.3, high: 0.40, late: 40, begin: 0.13, thick: 4, frameOut: 60, slant: slant, k1: 0.02, noise: 3, jpeg: 90}
		content, corners := s.file(t, quiet())
		img, _, err := image.Decode(bytes.NewReader(content))
		if err != nil {
			t.Fatal(err)
		}
		found, ok := newPhoto(img).findSlanted(10, 8)
		if !ok {
			t.Fatalf("slant %g: not found", slant)
		}
		for i := range found {
			if off := math.Hypot(found[i].X-corners[i].X, found[i].Y-corners[i].Y); off > 12 {
				t.Errorf("slant %g: corner %d found at %v, drawn at %v", slant, i+1, found[i], corners[i])
			}
		}
		r := s.read(t, quiet(), false)
		p, d := value(t, r, "contact", Period), value(t, r, "contact", FractionHigh)
		if math.Abs(p.Value/s.period()-1) > 0.001 || math.Abs(d.Value-0.4) > 0.002 {
			t.Errorf("slant %g: period %g of %g, fraction %g", slant, p.Value, s.period(), d.Value)
		}
	}
}
