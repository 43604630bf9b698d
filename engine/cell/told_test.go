package cell

import (
	"reflect"
	"slices"
	"testing"

	"slipring/engine/lesson"
)

// What a number is made of is found over the definitions of its names.
func TestTold(t *testing.T) {
	l := lessonOf("set := bench.Open(\"s\")\n" +
		"idle := set.Steady(machine.Load{})\nbusy := set.Steady(machine.Load{Torque: 1})\n" +
		"tell.Value(\"idle\", idle.Frequency, \"Hz\")\ntell.Value(\"busy\", busy.Frequency, \"Hz\")\n" +
		"drop := idle.Frequency - busy.Frequency\ntell.Value(\"drop\", 100*drop, \"\")\n" +
		"inside := set.Constant(\"battery.resistance\")\nshort := func(r float64) float64 { return 48 / (inside + r) }\n" +
		"all := idle.Traces(\"output\", \"speed\").Window(0, 1)\nfast := all.Signals[1]\n" +
		"tell.Knob(\"bridge\", tell.Turn(\"bridge\", 0, 1, \"ohm\"), func(r float64) {\n\ttell.Value(\"short\", short(r), \"A\")\n})\n" +
		"for _, side := range []string{\"left\", \"right\"} {\n\ttell.Value(side+\".at\", fast.At(0.5), \"Hz\")\n}\n" +
		"const chosen = 3.0\ntell.Value(\"chosen\", chosen, \"\")\n" +
		"low := 0.0\nfor i := 0; i < 9; i++ {\n\tif busy.OutputVoltage > 50 {\n\t\tlow = 1\n\t}\n}\ntell.Value(\"low\", low, \"\")\n" +
		"d := set.Doubt(func(s *bench.Set) float64 { return s.Steady(machine.Load{}).Frequency }, \"shaft.friction\")\n" +
		"tell.Doubtful(\"unsure\", d.Value, d.U, \"Hz\")\n")
	p, messages := Assemble(l)
	if p == nil {
		t.Fatal(messages)
	}
	type made struct{ Leans, Constants, Of, Knobs, Shaken []string }
	want := map[string]made{
		"idle":   {Leans: []string{"bench.Run.Frequency"}},
		"busy":   {Leans: []string{"bench.Run.Frequency"}},
		"drop":   {Leans: []string{"bench.Run.Frequency"}, Of: []string{"idle", "busy"}},
		"short":  {Constants: []string{"battery.resistance"}, Knobs: []string{"bridge"}},
		"*.at":   {Leans: []string{"waveform.Signal.At", "bench.Run.Traces speed"}},
		"chosen": {},
		"low":    {Leans: []string{"bench.Run.OutputVoltage"}},
		"unsure": {Leans: []string{"bench.Doubtful.Value", "bench.Run.Frequency"}, Shaken: []string{"shaft.friction"}},
	}
	quiet := []string{"bench.Set.Steady", "bench.Shelf.Open", "machine.Load", "machine.Load.Torque", "bench.Set.Constant", "bench.Set", "bench.Set.Doubt"}
	for _, one := range p.Told() {
		got := made{nil, one.Constants, one.Of, one.Knobs, one.Shaken}
		for _, name := range one.Leans {
			if !slices.Contains(quiet, name) {
				got.Leans = append(got.Leans, name)
			}
		}
		if !reflect.DeepEqual(got, want[one.Name]) {
			t.Errorf("%s is made of %q, want %q", one.Name, got, want[one.Name])
		}
		delete(want, one.Name)
		if source := l.Cells[one.Cell].Source[one.From:one.To]; one.Name == "drop" && (source != `tell.Value("drop", 100*drop, "")` || len(one.Via) != 3) {
			t.Errorf("it is told by %q, over %v", source, one.Via)
		}
		if one.Name == "drop" {
			via := one.Via[0]
			if got := l.Cells[via.Cell].Source[via.From:via.To]; got != "drop := idle.Frequency - busy.Frequency" {
				t.Errorf("drop is defined by %q", got)
			}
		}
	}
	for name := range want {
		t.Errorf("%s is not told", name)
	}
	var none []lesson.Told
	if p.Told()[0].Name = "x"; reflect.DeepEqual(p.Told(), none) || p.Told()[0].Name == "x" {
		t.Error("a caller changed the program's answer")
	}
}
