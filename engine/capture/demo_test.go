package capture

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/basicfont"
	"golang.org/x/image/math/fixed"

	"slipring/engine/bench"
	"slipring/engine/card"
	"slipring/engine/machine"
	"slipring/engine/waveform"
)

var update = flag.Bool("update", false, "make the demonstration captures anew, to be looked at before they are committed")

const (
	demoLesson = "../../lessons/13-two-traces-on-a-screen"
	demoCard   = "../../lessons/cards/bell-current-set.toml"
	demoWords  = "Invented for the demonstration: computed from the machine card, with noise of %.1f V (one standard deviation) on each value."
)

// Colours of the demonstration's screen: those of the pages.
var (
	paper     = color.RGBA{250, 245, 232, 255}
	ink       = color.RGBA{31, 44, 56, 255}
	pale      = color.RGBA{176, 172, 160, 255}
	brass     = color.RGBA{196, 110, 0, 255}
	verdigris = color.RGBA{0, 120, 150, 255}
)

// demo is what the demonstration's set does, as an oscilloscope would show it:
// the voltage across the governor contact and its resistor, and the output.
type demo struct {
	contact, current, output waveform.Signal
	resistor                 float64 // ohm
}

func newDemo(t *testing.T, load func(*bench.Set) machine.Load) demo {
	t.Helper()
	source, err := os.ReadFile(demoCard)
	if err != nil {
		t.Fatal(err)
	}
	sheet, messages := card.ReadSheet(demoCard, source)
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	set := bench.New([]machine.Card{sheet.Card}).Open("bell-current-set")
	signals := set.Steady(load(set)).Traces("governor contact", "field current", "output").Turns(16).Signals
	return demo{signals[0], signals[1], signals[2], set.Constant("motor.field-resistor")}
}

// at gives both voltages. While the contact is open, the field current flows
// through the resistor beside it.
func (d demo) at(t float64) (contact, output float64) {
	return (1 - d.contact.At(t)) * d.current.At(t) * d.resistor, d.output.At(t)
}

// points is a table with commas, decimal points and units in its head.
func (d demo) points(rate float64, rows int, noise float64, random *rand.Rand) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# "+demoWords+"\ntime (s),contact (V),output (V)\n", noise)
	for i := range rows {
		contact, output := d.at(0.011 + float64(i)/rate)
		fmt.Fprintf(&b, "%.4f,%.2f,%.1f\n", float64(i)/rate, contact+noise*random.NormFloat64(), output+noise*random.NormFloat64())
	}
	return b.Bytes()
}

// commas is a table with semicolons, decimal commas and a sample interval above
// the numbers.
func (d demo) commas(rate float64, rows int, noise float64, random *rand.Rand) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# "+strings.ReplaceAll(demoWords, ".1f", "s")+"\n", strings.ReplaceAll(fmt.Sprintf("%.1f", noise), ".", ","))
	fmt.Fprintf(&b, "sample interval (s);%s\ncontact (V);output (V)\n", strings.ReplaceAll(fmt.Sprintf("%.4f", 1/rate), ".", ","))
	for i := range rows {
		contact, output := d.at(0.023 + float64(i)/rate)
		b.WriteString(strings.ReplaceAll(fmt.Sprintf("%.2f;%.1f\n", contact+noise*random.NormFloat64(), output+noise*random.NormFloat64()), ".", ","))
	}
	return b.Bytes()
}

// Scales of the demonstration's screen. The contact has a scale and a zero of
// its own, as a second channel has.
const (
	demoTime    = 0.025 // s a division
	demoVolts   = 50.0  // V a division
	demoColumns = 500   // of the screen
	demoNoise   = 0.6   // V
)

// screen draws the output about the middle line and the contact at the bottom,
// in 500 columns, with words that say what it is.
func (d demo) screen(width int) *canvas {
	m, w, h := float64(width)/12, float64(width), float64(width)*3/4
	c := &canvas{w: width + int(2*m), h: int(h + 2*m), margin: m}
	c.pix = make([][3]float64, c.w*c.h)
	for i := range c.pix {
		c.pix[i] = [3]float64{float64(paper.R), float64(paper.G), float64(paper.B)}
	}
	paint := func(colour color.RGBA, draw func(into []float64)) {
		into := make([]float64, len(c.pix))
		draw(into)
		for i, by := range into {
			c.blend(i%c.w, i/c.w, by, colour)
		}
	}
	paint(pale, func(into []float64) {
		for i := range 11 {
			x := m + float64(i)*w/10
			stroke(c, into, x, m, x, m+h, w/640)
		}
		for i := range 9 {
			y := m + float64(i)*h/8
			stroke(c, into, m, y, m+w, y, w/640)
		}
	})
	at := func(k int) (x, contact, output float64) {
		t := 0.017 + (float64(k)+0.5)/demoColumns*10*demoTime
		voltage, out := d.at(t)
		contact = 7.6
		if voltage > 1 {
			contact = 6.7
		}
		return m + (float64(k)+0.5)/demoColumns*w, m + contact*h/8, m + (4-out/demoVolts)*h/8
	}
	thick := w / 200
	for _, trace := range []color.RGBA{brass, verdigris} {
		paint(trace, func(into []float64) {
			for k := 1; k < demoColumns; k++ {
				x0, a0, b0 := at(k - 1)
				x1, a1, b1 := at(k)
				switch {
				case trace == verdigris:
					stroke(c, into, x0, b0, x1, b1, thick)
				case a0 == a1:
					stroke(c, into, x0, a0, x1, a1, thick)
				default:
					stroke(c, into, (x0+x1)/2, a0, (x0+x1)/2, a1, thick)
				}
			}
		})
	}
	c.words(int(m), int(m*0.6), "Invented demonstration capture: computed from the machine card")
	c.words(int(m), c.h-int(m*0.4), "contact (below), own scale   output (middle) 50 V/div   25 ms/div")
	return c
}

// words writes a line of text in ink.
func (c *canvas) words(x, y int, text string) {
	mask := image.NewAlpha(image.Rect(0, 0, c.w, c.h))
	(&font.Drawer{Dst: mask, Src: image.Opaque, Face: basicfont.Face7x13, Dot: fixed.P(x, y)}).DrawString(text)
	for i := range c.pix {
		c.blend(i%c.w, i/c.w, float64(mask.AlphaAt(i%c.w, i/c.w).A)/255, ink)
	}
}

// The demonstration captures are what this makes of the shipped card: tables to
// the byte, pictures to what another processor's rounding may change.
func TestDemonstrationCaptures(t *testing.T) {
	random := rand.New(rand.NewPCG(1911, 4))
	idle := newDemo(t, func(*bench.Set) machine.Load { return machine.Load{} })
	full := newDemo(t, (*bench.Set).FullLoad)
	picture := func(s shown, width int) []byte {
		img, corners := s.photograph(idle.screen(width), random)
		var b bytes.Buffer
		var err error
		if s.jpeg > 0 {
			err = jpeg.Encode(&b, img, &jpeg.Options{Quality: s.jpeg})
		} else {
			err = (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, img)
		}
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("corners %.0f", corners)
		return b.Bytes()
	}
	for _, f := range []struct {
		name    string
		content []byte
	}{
		{"no-bell.csv", idle.points(2500, 1250, demoNoise, random)},
		{"all-bells.csv", full.commas(2500, 1250, demoNoise, random)},
		{"screen.png", picture(shown{}, 640)},
		{"photograph.jpg", picture(shown{slant: 0.18, k1: 0.015, noise: 2, jpeg: 80}, 900)},
	} {
		file := filepath.Join(demoLesson, f.name)
		if *update {
			if err := os.WriteFile(file, f.content, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		had, err := os.ReadFile(file)
		if err != nil {
			t.Fatalf("%v (go test ./engine/capture -run Demonstration -update makes them)", err)
		}
		if len(had) > 150_000 {
			t.Errorf("%s has %d bytes, and may have 150,000", file, len(had))
		}
		if strings.HasSuffix(f.name, ".csv") {
			if !bytes.Equal(had, f.content) {
				t.Errorf("%s is not what the card and the noise make", file)
			}
			continue
		}
		if off := unlike(t, had, f.content); off > 0.1 {
			t.Errorf("%s differs by %.2f of 255 on the mean from what the card makes", file, off)
		}
	}
}

// unlike gives by how much two pictures differ, on the mean of all pixels.
func unlike(t *testing.T, a, b []byte) float64 {
	t.Helper()
	x, _, err := image.Decode(bytes.NewReader(a))
	y, _, err2 := image.Decode(bytes.NewReader(b))
	if err != nil || err2 != nil || x.Bounds() != y.Bounds() {
		t.Fatal(err, err2, "pictures of other sizes")
	}
	p, q, sum, size := newPhoto(x), newPhoto(y), 0.0, x.Bounds().Size()
	for j := range size.Y {
		for i := range size.X {
			c, d := p.at(i, j), q.at(i, j)
			sum += math.Abs(float64(c.R)-float64(d.R)) + math.Abs(float64(c.G)-float64(d.G)) + math.Abs(float64(c.B)-float64(d.B))
		}
	}
	return sum / float64(3*size.X*size.Y)
}
