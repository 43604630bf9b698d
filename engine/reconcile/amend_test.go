package reconcile_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"slipring/engine/circuit"
	"slipring/engine/reconcile"
)

// What becomes of a list of wires, in the words of the file.
func TestAmended(t *testing.T) {
	sheets := sheetsOf(3, [2]string{"TS1.1", "K1.A1"}, [2]string{"TS1.2", "K1.A2"})
	sheets[0].Wires[1].To = "S1.11" // the oldest drawing has its end elsewhere
	sheets[2].Wires[0].Note = "red"
	list := func(wires ...string) (out []circuit.Wire) {
		for _, w := range wires {
			f := strings.Split(w, ",")
			out = append(out, circuit.Wire{Name: f[0], From: f[1], To: f[2], Evidence: f[3], Note: f[4]})
		}
		return out
	}
	for name, c := range map[string]struct {
		old      []circuit.Wire
		readings []reconcile.Reading
		want     []string
		done     string
	}{
		"a new list": {
			want: []string{"W1,TS1.1,K1.A1,likely: drawn on s0, s1, s2,red", "W2,TS1.2,K1.A2,open question: drawn on s1, s2, not on s0,"},
		},
		"a reading, whose words take the place of what was likely": {
			old:      list("W1,K1.A1,TS1.1,likely: drawn on s0,mine", "W2,TS1.2,K1.A2,,"),
			readings: []reconcile.Reading{{From: "TS1.1", To: "K1.A1", Closed: true, When: "2026-09-12"}},
			want:     []string{"W1,K1.A1,TS1.1,found: TS1.1 to K1.A1 closed, 2026-09-12,mine", "W2,TS1.2,K1.A2,open question: drawn on s1, s2, not on s0,"},
		},
		"an open question changes nothing": {
			old:  list("W2,S1.11,TS1.2,,"),
			want: []string{"W2,S1.11,TS1.2,open question: drawn on s0, not on s1, s2,", "W1,TS1.1,K1.A1,likely: drawn on s0, s1, s2,red"},
			done: "W1, TS1.1 to K1.A1: put in",
		},
		"moved, with its number and note": {
			old:      list("W1,TS1.1,K1.A1,,", "W2,S1.11,TS1.2,,mine"),
			readings: []reconcile.Reading{closed("TS1.2", "K1.A2"), closed("TS1.2", "K1.A2"), open("TS1.2", "S1.11")},
			want:     []string{"W1,TS1.1,K1.A1,likely: drawn on s0, s1, s2,", "W2,TS1.2,K1.A2,found: TS1.2 to K1.A2 closed,mine"},
			done:     "W2, S1.11 to TS1.2: moved to TS1.2 and K1.A2, where it is found",
		},
		"somebody's own words stay": {
			old:      list("W1,TS1.1,K1.A1,followed by eye,", "W2,S1.11,TS1.2,seen,"),
			readings: []reconcile.Reading{closed("TS1.2", "K1.A2"), closed("TS1.2", "K1.A2"), open("TS1.2", "S1.11")},
			want:     []string{"W1,TS1.1,K1.A1,followed by eye,", "W2,S1.11,TS1.2,seen,"},
			done:     `W2, S1.11 to TS1.2, stays, since it is "seen"; yet it is not there: it is W2 (TS1.2 to K1.A2) instead`,
		},
		"what no drawing has": {
			old:  list("W7,F1.1,F1.2,,", "W8,F1.1,TS1.9,likely: drawn on x,"),
			want: []string{"W7,F1.1,F1.2,,", "W1,TS1.1,K1.A1,likely: drawn on s0, s1, s2,red"},
			done: "W7, F1.1 to F1.2: no drawing has it; it stays without evidence\nW8, F1.1 to TS1.9: taken out; nothing speaks for it any more\nW1, TS1.1 to K1.A1: put in",
		},
	} {
		t.Run(name, func(t *testing.T) {
			b, err := reconcile.New(small(), sheets)
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range c.readings {
				if err := b.Take(r); err != nil {
					t.Fatal(err)
				}
			}
			wires, done := b.Amended(c.old)
			var got []string
			for _, w := range wires {
				got = append(got, strings.Join([]string{w.Name, w.From, w.To, w.Evidence, w.Note}, ","))
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(c.want, "\n"))
			}
			if text := strings.Join(done, "\n"); !strings.HasPrefix(text, c.done) || c.done == "" && text != "" {
				t.Errorf("it says %q, want %q", text, c.done)
			}
			again, more := b.Amended(wires)
			if fmt.Sprint(again) != fmt.Sprint(wires) {
				t.Errorf("amended twice:\n%v\n%v\n%v", again, wires, more)
			}
		})
	}
}

// A wire carries power when current of a source can flow over it, and not when
// nothing leads on behind it.
func TestPower(t *testing.T) {
	parts := small()
	parts.Parts = append(parts.Parts, circuit.Part{Name: "BAT", Kind: "battery", Values: map[string]circuit.Value{"voltage": {SI: 48}, "resistance": {SI: 0.1}}})
	power := map[[2]string]bool{
		{"BAT.+", "F1.1"}:   true,
		{"F1.2", "S1.11"}:   true, // behind a fuse
		{"S1.12", "K1.A1"}:  true, // behind a contact
		{"K1.A2", "BAT.-"}:  true,
		{"F1.2", "TS1.5"}:   false, // a spare terminal
		{"K1.13", "TS1.6"}:  false, // a contact on one side of which there is nothing
		{"TS1.7", "TS1.8"}:  false, // by themselves
		{"BAT.-", "K1.22"}:  false,
		{"K1.A1", "TS1.10"}: true, // from there to the other side of the battery
		{"TS1.10", "BAT.-"}: true,
	}
	var wires [][2]string
	for w := range power {
		wires = append(wires, w)
	}
	slices.SortFunc(wires, func(a, b [2]string) int { return strings.Compare(a[0]+a[1], b[0]+b[1]) })
	b, err := reconcile.New(parts, sheetsOf(1, wires...))
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range b.Judged() {
		want, drawn := power[[2]string{j.From, j.To}]
		if !drawn {
			want, drawn = power[[2]string{j.To, j.From}]
		}
		if drawn && j.Power != want {
			t.Errorf("%s to %s: %v", j.From, j.To, j.Power)
		}
	}
	// Nothing that is surely not there carries power.
	for range 2 {
		if err := b.Take(open("TS1.10", "BAT.-")); err != nil {
			t.Fatal(err)
		}
	}
	for _, j := range b.Judged() {
		if (j.To == "TS1.10" || j.From == "TS1.10") && j.Power {
			t.Errorf("%s to %s (%s) still carries power", j.From, j.To, j.Verdict)
		}
	}
}
