package circuit_test

import (
	"fmt"
	"testing"

	"slipring/engine/circuit"
)

// holding is a start key that a contact of the relay it works stands beside, both
// behind the stop key and a contact that is there while there is voltage.
const holding = `
	B battery voltage=48 resistance=0.1
	V contact contacts=13-14
	STOP key contacts=11-12
	START key contacts=13-14
	M relay contacts=13-14` + quick + `
	B.+ V.13
	V.14 STOP.11
	STOP.12 START.13 M.13
	START.14 M.14 M.A1
	M.A2 B.-`

// The truth table of low-voltage protection: DOE-HDBK-1011/4, module 15, p. 18
// (A): M next = (START or M) and not STOP and voltage. After V comes back with
// no key pressed, the relay stays off.
func TestHoldingCircuit(t *testing.T) {
	for n := range 16 {
		start, stop, volts, now := n&1 > 0, n&2 > 0, n&4 > 0, n&8 > 0
		b := board(t, holding)
		must(t, b.Press("V"))
		if now {
			must(t, b.Press("START"))
			must(t, b.Advance(0.1))
			must(t, b.LetGo("START"))
		}
		if b.Pressed("M") != now {
			t.Fatal("not begun as wanted")
		}
		for key, on := range map[string]bool{"START": start, "STOP": stop} {
			if on {
				must(t, b.Press(key))
			}
		}
		if !volts {
			must(t, b.LetGo("V"))
		}
		must(t, b.Advance(0.1))
		if got, want := b.Pressed("M"), (start || now) && !stop && volts; got != want {
			t.Errorf("start %v, stop %v, voltage %v, now %v: %v, want %v", start, stop, volts, now, got, want)
		}
	}
	b := board(t, holding)
	for _, act := range []func(string) error{b.Press, b.LetGo, b.Press} {
		must(t, act("V"))
		must(t, b.Advance(0.1))
		if b.Pressed("M") {
			t.Error("it starts by itself")
		}
	}
}

// A relay takes its times: it operates so long after its coil is fed, and falls
// so long after it is not; what is shorter does nothing.
func TestRelayTimes(t *testing.T) {
	b := board(t, `
		B battery voltage=48 resistance=0.1
		K key contacts=13-14
		SLOW relay resistance=1000 pick-up=0.02 release=0.01 pick-up-time=0.05 release-time=0.4
		B.+ K.13
		K.14 SLOW.A1
		SLOW.A2 B.-`)
	must(t, b.Advance(1))
	must(t, b.Press("K"))
	must(t, b.Advance(0.04))
	must(t, b.LetGo("K")) // too short
	must(t, b.Advance(0.96))
	must(t, b.Press("K"))
	must(t, b.Advance(0.5))
	must(t, b.LetGo("K"))
	must(t, b.Advance(0.399))
	if !b.Pressed("SLOW") {
		t.Error("the slow relay fell too soon")
	}
	must(t, b.Press("K")) // just in time
	must(t, b.Advance(0.1))
	must(t, b.LetGo("K"))
	must(t, b.Advance(2))
	var got []string
	for _, e := range b.Events() {
		if e.Part == "SLOW" {
			got = append(got, fmt.Sprintf("%.6f %s", e.At, e.Is))
		}
	}
	if want := "[2.050000 up 3.399000 down]"; fmt.Sprint(got) != want {
		t.Errorf("%v, want %s", got, want)
	}
}

// Between its release and its pick-up a relay stays as it is: 60 V pick it up, 30
// V do not, and hold it; 10 V do not hold it. A resistor less in series gives each.
func TestBetweenLevels(t *testing.T) {
	b := board(t, `
		B battery voltage=60 resistance=0.1
		S key contacts=13-14
		T key contacts=13-14
		R1 resistor resistance=1000
		R2 resistor resistance=4000
		K relay resistance=1000 pick-up=0.04 release=0.02 pick-up-time=0.02 release-time=0.01
		B.+ R1.1
		R1.2 R2.1
		R2.2 K.A1
		K.A2 B.-
		S.13 R1.1
		S.14 R2.1
		T.13 R2.1
		T.14 R2.2`)
	at := func(up bool) {
		t.Helper()
		must(t, b.Advance(0.1))
		if b.Pressed("K") != up {
			t.Errorf("up is %v", !up)
		}
	}
	at(false)
	must(t, b.Press("T"))
	at(false) // 30 mA
	must(t, b.Press("S"))
	at(true) // 60 mA
	must(t, b.LetGo("S"))
	at(true)
	must(t, b.LetGo("T"))
	at(false) // 10 mA
}

// sequence is one alarm point: N is up while there is trouble, T keeps in mind that
// there was some, A that somebody has seen it. What T holds itself through decides
// how it ends: by itself once seen, or by the reset key.
func sequence(hold string) string {
	return `
	B battery voltage=48 resistance=0.1
	TROUBLE contact contacts=13-14
	SEEN key contacts=13-14
	RESET key contacts=11-12
	F flasher resistance=2000 pick-up=30 off-time=0.25 on-time=0.25 contacts=13-14
	N relay contacts=13-14` + quick + `
	T relay contacts=13-14,23-24,33-34,43-44` + quick + `
	A relay contacts=13-14,21-22,33-34,41-42,51-52` + quick + `
	LAMP lamp resistance=500 voltage=48
	HORN bell resistance=500 pick-up=0.05
	B.+ TROUBLE.13 F.A1 N.13 T.13 SEEN.13 A.13 T.33
	B.- N.A2 T.A2 A.A2 F.A2 LAMP.X2 HORN.2
	TROUBLE.14 N.A1
	N.14 T.A1
	SEEN.14 T.43
	T.44 A.A1
	A.14 T.23
	T.24 A.A1
	T.34 A.33 A.21 A.41
	A.34 LAMP.X1
	A.22 F.13
	F.14 LAMP.X1
	A.42 HORN.1
	T.14 ` + hold + `1
	` + hold + `2 T.A1`
}

// The lamp and horn of sequences A and M: ANSI/ISA-18.1-1979 (R2004), as reprinted
// (B).
func TestAlarmSequences(t *testing.T) {
	type row struct{ act, lamp, horn string }
	for name, c := range map[string]struct {
		wiring string
		rows   []row
	}{
		"A": {sequence("A.5"), []row{
			{"", "off", "silent"},
			{"trouble", "flashing", "on"},
			{"normal", "flashing", "on"}, // lock-in
			{"seen", "off", "silent"},    // acknowledged after return to normal
			{"trouble", "flashing", "on"},
			{"seen", "steady", "silent"},
			{"normal", "off", "silent"}, // by itself
			{"trouble", "flashing", "on"},
		}},
		"M": {sequence("RESET.1"), []row{
			{"", "off", "silent"},
			{"trouble", "flashing", "on"},
			{"normal", "flashing", "on"},
			{"trouble", "flashing", "on"},
			{"seen", "steady", "silent"},
			{"reset", "steady", "silent"}, // while abnormal, no effect
			{"normal", "steady", "silent"},
			{"reset", "off", "silent"},
			{"trouble", "flashing", "on"},
		}},
	} {
		b := board(t, c.wiring)
		for i, r := range c.rows {
			switch r.act {
			case "trouble":
				must(t, b.Press("TROUBLE"))
			case "normal":
				must(t, b.LetGo("TROUBLE"))
			case "seen", "reset":
				key := map[string]string{"seen": "SEEN", "reset": "RESET"}[r.act]
				must(t, b.Press(key))
				must(t, b.Advance(0.2))
				must(t, b.LetGo(key))
			}
			must(t, b.Advance(1))
			lamp, horn := watched(t, b)
			if lamp != r.lamp || horn != r.horn {
				t.Errorf("sequence %s, row %d (%s): lamp %s, horn %s; want %s, %s", name, i+1, r.act, lamp, horn, r.lamp, r.horn)
			}
		}
	}
}

// watched looks at lamp and horn for two seconds.
func watched(t *testing.T, b *circuit.Board) (lamp, horn string) {
	lit, rings := 0, 0
	for range 40 {
		must(t, b.Advance(0.05))
		s := b.Seen()
		if s.Lamps[0].Is == circuit.Lit {
			lit++
		}
		rings += len(s.Bells)
	}
	lamp, horn = "flashing", "sometimes"
	switch lit {
	case 0:
		lamp = "off"
	case 40:
		lamp = "steady"
	}
	switch rings {
	case 0:
		horn = "silent"
	case 40:
		horn = "on"
	}
	return lamp, horn
}
