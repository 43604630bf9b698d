package motion

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"slipring/engine/machine"
	"slipring/engine/tell"
)

// One turn makes one wave: the pen stands as high as the voltage, and, as far
// as the voltage is a sine, as high as the marked conductor, which is at angle
// 0 on the left and turns clockwise.
func TestTraceFollowsTheWire(t *testing.T) {
	m := wholeTurn(t, "generator")
	f := filmOf(t, sample{motion: m})
	output := m.Signals.Signals[1]
	_, most, _ := output.Range()
	worst := 0.0
	for i := range f.Frames {
		at := f.From + float64(i)/float64(f.Frames-1)*f.Span
		up := -drawnAt(t, f, at, "level", "transform", "translate(0 %f)")
		if want := output.At(at) / most * slotOut; math.Abs(up-want) > 1 {
			t.Fatalf("at %v s: %v V drawn %v px up, want %v px", at, output.At(at), up, want)
		}
		a := drawnAt(t, f, at, "rotor", "transform", "rotate(%f") * math.Pi / 180
		worst = max(worst, math.Abs(up-slotOut*math.Sin(a)))
		if x := drawnAt(t, f, at, "pen", "transform", "translate(%f"); math.Abs(x-(traceTo-traceFrom)*float64(i)/float64(f.Frames-1)) > 0.1 {
			t.Fatalf("at %v s the pen is %v px along", at, x)
		}
	}
	if worst > 0.2*slotOut {
		t.Errorf("the wire and the pen are %v px apart somewhere", worst)
	}
}

// The needle of the speed stands where the speed is on its scale, and its scale
// holds all of it.
func TestSpeedNeedle(t *testing.T) {
	r := set(t, motorCard).Steady(machine.Load{Torque: 0.3})
	for _, sizes := range [][]tell.Size{nil, {{Name: "slowest", Number: 19, Unit: "Hz"}, {Name: "fastest", Number: 21, Unit: "Hz"}}} {
		var s tell.Sheet
		s.Motion("governor", r.Traces("shaft angle", "weight travel", "governor contact", "speed").Turns(1), sizes...)
		m := s.Result().Motions[0]
		c, err := read(m)
		if err != nil {
			t.Fatal(err)
		}
		scale, ok := speedScale(c)
		speed := m.Signals.Signals[3]
		low, high, _ := speed.Range()
		if !ok || low < scale.from || high > scale.to {
			t.Fatalf("from %v to %v Hz on a scale from %v to %v", low, high, scale.from, scale.to)
		}
		f := filmOf(t, sample{motion: m})
		for i := range f.Frames {
			at := f.From + float64(i)/float64(f.Frames-1)*f.Span
			needle := drawnAt(t, f, at, "speed", "transform", "rotate(%f")
			want := (2*(speed.At(at)-scale.from)/(scale.to-scale.from) - 1) * dialSwing
			if math.Abs(needle-want) > 0.15 {
				t.Fatalf("at %v s: %v Hz shown at %v°, want %v°", at, speed.At(at), needle, want)
			}
		}
	}
}

// The bell's hammer is on the side to which the current throws it, and strikes
// each gong once a turn.
func TestHammerFollowsTheCurrent(t *testing.T) {
	r := set(t, wholeCard).Steady(machine.Load{Bells: 3})
	var s tell.Sheet
	s.Motion("bell", r.Traces("bell current").Turns(1))
	m := s.Result().Motions[0]
	f := filmOf(t, sample{motion: m})
	current := m.Signals.Signals[0]
	low, high, _ := current.Range()
	var left, right, changes int
	side := 0
	for i := range 500 {
		at := f.From + (float64(i)+0.5)/500*f.Span
		swing := drawnAt(t, f, at, "hammer", "transform", "rotate(%f")
		if y := current.At(at); math.Abs(y) > 0.05*(high-low) && (swing > 0) != (y > 0) {
			t.Fatalf("at %v s: %v A, hammer at %v°", at, y, swing)
		}
		if touch := mostHammer(); math.Abs(swing) > touch+0.1 {
			t.Fatalf("the hammer is %v° into a gong", math.Abs(swing)-touch)
		}
		heard := func(name string) bool {
			v, _ := lookUp(f.at(at)[name], "opacity")
			return v != "0"
		}
		now := side
		if heard("left") {
			left++
			now = -1
		}
		if heard("right") {
			right++
			now = 1
		}
		if heard("left") && heard("right") {
			t.Fatal("both gongs ring")
		}
		if side != 0 && now != side {
			changes++
		}
		side = now
	}
	if left < 100 || right < 100 || changes < 1 || changes > 2 {
		t.Errorf("left %d, right %d, %d changes", left, right, changes)
	}
}

// The fuse is drawn whole until the instant at which the model melts it, and
// its bar is full there.
func TestFuseMeltsAsComputed(t *testing.T) {
	s := set(t, "../../lessons/cards/bell-current-set.toml")
	r := s.Fault("motor field open", machine.Load{}, 3)
	melting := s.Constant("fuse.melting-current")
	var sheet tell.Sheet
	sheet.Motion("fuse", r.Traces("armature current", "fuse heat").Window(0.4, 1.2), tell.Size{Name: "melting current", Number: melting, Unit: "A"})
	m := sheet.Result().Motions[0]
	f := filmOf(t, sample{motion: m})
	current, heat := m.Signals.Signals[0], m.Signals.Signals[1]
	whole, gone := 0, 0
	for i := range 400 {
		at := f.From + (float64(i)+0.5)/400*f.Span
		share := heat.At(at) / (melting * melting)
		if got := f.value("heat", at) / (barTo - barFrom); math.Abs(got-share) > 0.02 {
			t.Fatalf("at %v s: the bar shows %v of the heat, want %v", at, got, share)
		}
		switch {
		case share < 0.995:
			whole++
			if !visible(f, at, "whole") || visible(f, at, "melts") {
				t.Fatalf("at %v s the fuse is drawn melted at %v of the heat", at, share)
			}
		case current.At(at) == 0:
			gone++
			if visible(f, at, "whole") || !visible(f, at, "gone") {
				t.Fatalf("at %v s the fuse is drawn whole, and no current flows", at)
			}
		}
	}
	if whole < 50 || gone < 50 {
		t.Errorf("whole %d times, gone %d times", whole, gone)
	}
}

// The heap has as many pieces as the pull is times the weight, to a piece, and
// the beam is level when both pans carry the same.
func TestBalanceWeighs(t *testing.T) {
	m := samples()[len(samples())-1]
	f := filmOf(t, sample{motion: m})
	pull := m.Signals.Signals[0]
	level := false
	for i := range f.Frames {
		at := f.From + float64(i)/float64(f.Frames-1)*f.Span
		n := 0
		for k := 1; k <= 15; k++ {
			if visible(f, at, fmt.Sprint("piece-", k)) {
				n++
			}
		}
		if times := pull.At(at) / 12; float64(n) > times+0.2 || float64(n) < times-1.1 {
			t.Fatalf("at %v s: %d pieces for %v times the weight", at, n, times)
		}
		tilt := drawnAt(t, f, at, "beam", "transform", "rotate(%f")
		if over := pull.At(at) - 12; math.Abs(over) > 1 && (tilt > 0) != (over > 0) {
			t.Errorf("at %v s: %v g more on the right, tilted %v°", at, over, tilt)
		}
		level = level || math.Abs(tilt) < 3
	}
	if !level {
		t.Error("the beam never passes the level")
	}
}

// A contact that is stuck is drawn with what holds it, and no other is.
func TestStuckContactIsHeld(t *testing.T) {
	s := set(t, motorCard)
	for _, c := range []struct {
		fault        string
		clamp, wedge bool
	}{{"governor contact stuck closed", true, false}, {"governor contact stuck open", false, true}, {"", false, false}} {
		var sheet tell.Sheet
		names := []string{"shaft angle", "weight travel", "governor contact", "speed"}
		if c.fault == "" {
			sheet.Motion("governor", s.Steady(machine.Load{Torque: 0.3}).Traces(names...).Turns(1))
		} else {
			sheet.Motion("governor", s.Fault(c.fault, machine.Load{Torque: 0.3}, 6).Traces(names...).Window(6, 6.1))
		}
		d, err := Draw(sheet.Result().Motions[0], Settings{})
		if err != nil {
			t.Fatal(err)
		}
		clamp := strings.Contains(d.SVG, `class="line clamp"`)
		wedge := strings.Count(d.SVG, `class="shape insulation"`) == 2 // the wiper's block is one
		if clamp != c.clamp || wedge != c.wedge {
			t.Errorf("%q: clamp %t, wedge %t", c.fault, clamp, wedge)
		}
	}
}
