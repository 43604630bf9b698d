package motion

import (
	"fmt"
	"math"
	"os"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/card"
	"slipring/engine/machine"
	"slipring/engine/tell"
	"slipring/engine/waveform"
)

func set(t testing.TB, file string) *bench.Set {
	t.Helper()
	source, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	c, messages := card.Read(file, source)
	for _, m := range messages {
		t.Fatal(m)
	}
	return bench.New([]machine.Card{c}).Open(c.Name)
}

const (
	motorCard = "../../engine/machine/testdata/governed-motor.toml"
	wholeCard = "../../engine/machine/testdata/whole-set.toml"
)

func governorTurn(t testing.TB, r *bench.Run, turns int, sizes ...tell.Size) tell.Motion {
	t.Helper()
	var s tell.Sheet
	s.Motion("governor", r.Traces("shaft angle", "weight travel", "governor contact").Turns(turns), sizes...)
	return s.Result().Motions[0]
}

// drawnAt reads one number out of an attribute of a part of the drawing.
func drawnAt(t testing.TB, f *film, t0 float64, name, attribute, format string) float64 {
	t.Helper()
	value, ok := lookUp(f.at(t0)[name], attribute)
	if !ok {
		t.Fatalf("the part %q has no %s", name, attribute)
	}
	var x float64
	if _, err := fmt.Sscanf(value, format, &x); err != nil {
		t.Fatalf("%s of %q: %q: %v", attribute, name, value, err)
	}
	return x
}

func visible(f *film, t float64, name string) bool {
	_, hidden := lookUp(f.at(t)[name], "display")
	return !hidden
}

// A mass on a spring follows a periodic force while its own frequency is the
// higher one, and swings against it when it is the lower one (den Hartog,
// Mechanical Vibrations, on forced vibration; from memory). On a shaft at n
// turns a second a weight of frequency f0 has the frequency sqrt(f0^2 - n^2),
// so the border is at f0 = sqrt(2) n.
func TestWeightIsOutWhenItIsDown(t *testing.T) {
	for _, c := range []struct {
		own, n float64 // Hz, turns a second
		down   bool
	}{
		{60, 19.95, true}, {40, 19.95, true}, {32, 19.95, true}, {32, 21.4, true}, {29, 23, false}, {29, 24, false},
	} {
		if (c.own > math.Sqrt2*c.n) != c.down {
			t.Fatal("the table is wrong")
		}
		// a contact so light that it does not stiffen the leaf, and no stop in reach
		r := set(t, motorCard).WithConstant("governor.spring-frequency", c.own).WithConstant("governor.damping", 0.02).
			WithConstant("governor.contact-stiffness", 0.01).WithConstant("governor.stop-travel", 0.05).Held(c.n)
		f := filmOf(t, sample{motion: governorTurn(t, r, 1)})
		// where the weight stands, as drawn, over the turn
		var down, up float64
		lowest, highest := math.Inf(-1), math.Inf(-1)
		for i := range 1000 {
			at := f.From + (float64(i)+0.5)/1000*f.Span
			a := drawnAt(t, f, at, "rotor", "transform", "rotate(%f") * math.Pi / 180
			travel := drawnAt(t, f, at, "weight", "transform", "translate(0 %f)")
			if math.Cos(a) > lowest {
				lowest, down = math.Cos(a), travel
			}
			if -math.Cos(a) > highest {
				highest, up = -math.Cos(a), travel
			}
		}
		if (down > up) != c.down || math.Abs(down-up) < 0.5 {
			t.Errorf("own frequency %v Hz at %v turns a second: drawn %.1f px out when down, %.1f px when up; out when down should be %t", c.own, c.n, down, up, c.down)
		}
	}
}

// The drawn contact is closed exactly while the computed one is, and nothing
// else is drawn differently then: the halves meet, the contact glows and the
// words say closed.
func TestContactIsDrawnAsComputed(t *testing.T) {
	idle := set(t, motorCard).Steady(machine.Load{Torque: 0.3})
	hunting := set(t, motorCard).WithoutGravity().Steady(machine.Load{Torque: 0.3})
	for name, m := range map[string]tell.Motion{
		"idle": governorTurn(t, idle, 1), "three turns": governorTurn(t, idle, 3), "hunting": governorTurn(t, hunting, 6),
	} {
		f := filmOf(t, sample{motion: m})
		contact, travel := m.Signals.Signals[2], m.Signals.Signals[1]
		closed := 0
		for i := range 2000 {
			at := f.From + (float64(i)+0.41)/2000*f.Span
			want := contact.At(at) == 1
			if want {
				closed++
			}
			if visible(f, at, "glow") != want || visible(f, at, "closed") != want || visible(f, at, "open") == want {
				t.Fatalf("%s at %v s: contact %t, drawn glow %t, closed %t, open %t", name, at, want,
					visible(f, at, "glow"), visible(f, at, "closed"), visible(f, at, "open"))
			}
			weight := drawnAt(t, f, at, "weight", "transform", "translate(0 %f)")
			pin := drawnAt(t, f, at, "pin", "transform", "translate(0 %f)")
			gap := pin - weight
			// Close to the instant of a change the line between two frames may
			// be off by the part of a frame.
			if want && gap > 1 || gap < 0 {
				t.Errorf("%s at %v s: closed, but drawn %.1f px apart", name, at, gap)
			}
			if y := travel.At(at); !want && gap == 0 && y < -0.01 {
				t.Errorf("%s at %v s: open by %.3f mm, but drawn touching", name, at, -y)
			}
		}
		if closed == 0 || closed == 2000 {
			t.Errorf("%s: the contact never changes, so nothing was tested", name)
		}
	}
}

// The drawing turns as the shaft does, also where the angle starts anew and
// where a window cuts it there.
func TestDrawingTurnsWithTheShaft(t *testing.T) {
	r := set(t, motorCard).Steady(machine.Load{Torque: 0.3})
	m := governorTurn(t, r, 3)
	f := filmOf(t, sample{motion: m})
	for i := 0; i <= 300; i++ {
		at := f.From + float64(i)/300*f.Span
		// The turns of the set have equal length to a part in a million.
		want := 360 * 3 * float64(i) / 300
		if got := f.value("angle", at); math.Abs(got-want) > 0.2 {
			t.Fatalf("at %.4f s of %.4f s: %.2f°, want %.2f°", at, f.Span, got, want)
		}
	}
}

// The note says how much too large the travel is; the drawing has to agree
// with the weight's real travel and radius.
func TestEnlargement(t *testing.T) {
	s := set(t, motorCard)
	r := s.Steady(machine.Load{Torque: 0.3})
	radius := 1000 * s.Constant("governor.radius")
	m := governorTurn(t, r, 1, tell.Size{Name: "contact radius", Number: radius, Unit: "mm"})
	d, err := Draw(m, Settings{})
	if err != nil {
		t.Fatal(err)
	}
	var slow, times float64
	if _, err := fmt.Sscanf(d.Note, "Shown %f times slower than the machine. The weight’s travel is drawn %f times too large.", &slow, &times); err != nil {
		t.Fatalf("%q: %v", d.Note, err)
	}
	f := filmOf(t, sample{motion: m})
	low, high := math.Inf(1), math.Inf(-1)
	for i := range 1000 {
		y := f.value("travel", f.From+float64(i)/999*f.Span)
		low, high = min(low, y), max(high, y)
	}
	travel := m.Signals.Signals[1]
	least, most := math.Inf(1), math.Inf(-1)
	for _, y := range travel.Y {
		least, most = min(least, y), max(most, y)
	}
	real, shown := (most-least)/radius, (high-low)/weightOut
	if math.Abs(shown/real/times-1) > 0.05 {
		t.Errorf("the note says %v times; drawn are %v of the radius for %v", times, shown, real)
	}
	if turn := f.Span * slow; turn < 4 || turn > 9 {
		t.Errorf("a turn takes %v s", turn)
	}
}

func wholeTurn(t testing.TB, name string, sizes ...tell.Size) tell.Motion {
	t.Helper()
	r := set(t, wholeCard).Steady(machine.Load{})
	var s tell.Sheet
	s.Motion(name, r.Traces("shaft angle", "output", "generator field current", "plunger travel", "regulator coil current", "regulator contact").Turns(1), sizes...)
	return s.Result().Motions[0]
}

// A conductor's EMF points along v x B (Fleming's right-hand rule), from the
// north pole above to the south pole below. A dot is drawn where
// that comes towards the reader.
func TestFlemingsRule(t *testing.T) {
	m := wholeTurn(t, "generator")
	f := filmOf(t, sample{motion: m})
	tested := 0
	for i := range 400 {
		at := f.From + (float64(i)+0.5)/400*f.Span
		place := func(t0 float64) (x, y float64) {
			a := drawnAt(t, f, t0, "rotor", "transform", "rotate(%f") * math.Pi / 180
			// the first conductor is drawn left of the axis, at angle 0
			return -slotOut * math.Cos(a), -slotOut * math.Sin(a)
		}
		step := f.Span / 200
		x1, y1 := place(max(at-step, f.From))
		x2, y2 := place(min(at+step, f.From+f.Span))
		vx, vy := x2-x1, -(y2 - y1) // y upward
		bx, by := 0.0, -1.0
		towards := vx*by - vy*bx
		if math.Abs(towards) < 0.2*math.Hypot(vx, vy) {
			continue // hardly any EMF; what the terminals show may lag a little
		}
		tested++
		if dot := visible(f, at, "forth"); dot != (towards > 0) {
			t.Fatalf("at %v s the conductor at (%.0f, %.0f) moves by (%.1f, %.1f): dot %t", at, x1, y1, vx, vy, dot)
		}
	}
	if tested < 200 {
		t.Errorf("only %d instants were tested", tested)
	}
}

// The pull of a coil on iron is half the slope of its inductance times the
// square of its current (Woodson and Melcher, Electromechanical Dynamics,
// chapter 3; from memory), so that the arrow grows with the square.
func TestPull(t *testing.T) {
	m := wholeTurn(t, "regulator")
	f := filmOf(t, sample{motion: m})
	reg := set(t, wholeCard).Regulator()
	current := m.Signals.Signals[1]
	pull := func(i float64) float64 { return 0.5 * reg.CoilInductanceSlope * i * i }
	most := 0.0
	for _, y := range current.Y {
		most = max(most, pull(y))
	}
	for i := range f.Frames {
		at := f.From + float64(i)/float64(f.Frames-1)*f.Span
		length := f.value("pull", at)
		if want := longestPull * pull(current.At(at)) / most; math.Abs(length-want) > 1 {
			t.Fatalf("at %v s: an arrow of %v px for %v N, want %v px", at, length, pull(current.At(at)), want)
		}
		if visible(f, at, "forth") != (current.At(at) > 0) && math.Abs(current.At(at)) > 1e-4 {
			t.Errorf("at %v s the dots show a current the other way", at)
		}
	}
	// The plunger's contact, as for the governor.
	contact := m.Signals.Signals[2]
	for i := range 1000 {
		at := f.From + (float64(i)+0.41)/1000*f.Span
		gap := drawnAt(t, f, at, "pin", "transform", "translate(0 %f)") - drawnAt(t, f, at, "plunger", "transform", "translate(0 %f)")
		closed := contact.At(at) == 1
		if closed && gap > 1 || gap < 0 || visible(f, at, "glow") != closed {
			t.Errorf("at %v s: closed %t, drawn %.1f px apart", at, closed, gap)
		}
	}
}

// An inductor alternator makes as many cycles in a turn as it has teeth
// (f = N n; common practice, no source): the line through the magnet is widest
// that often.
func TestTeethPassThePole(t *testing.T) {
	for _, teeth := range []float64{8, 21} {
		f := filmOf(t, sample{motion: wholeTurn(t, "tone-wheel", tell.Size{Name: "teeth", Number: teeth})})
		middle := 12.0
		wide, crossings := false, 0
		for i := range 5000 {
			width := drawnAt(t, f, f.From+float64(i)/4999*f.Span, "flux", "stroke-width", "%f")
			if i > 0 && width > middle && !wide {
				crossings++
			}
			wide = width > middle
		}
		if float64(crossings) != teeth {
			t.Errorf("%v teeth: the line is widest %d times in a turn", teeth, crossings)
		}
	}
}

// An angle that a window cut between 360 and 0 is put right.
func TestUnwrapped(t *testing.T) {
	g := waveform.Signal{T: []float64{0, 1, 2, 3, 4, 5, 6}, Y: []float64{181, 2, 92, 182, 272, 2, 183}}
	got := unwrapped(g).Y
	for i, want := range []float64{-88, 2, 92, 182, 272, 362, 452} {
		if math.Abs(got[i]-want) > 1e-9 {
			t.Errorf("sample %d: %v, want %v", i, got[i], want)
		}
	}
	whole := waveform.Signal{T: []float64{0, 1}, Y: []float64{0, 360}}
	if got := unwrapped(whole).Y; got[1] != 360 {
		t.Errorf("a turn of two samples ends at %v", got[1])
	}
}
