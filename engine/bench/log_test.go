package bench_test

import (
	"fmt"
	"math"
	"os"
	"reflect"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/card"
	"slipring/engine/folder"
	"slipring/engine/machine"
	"slipring/engine/reading"
)

// entered is the shipped set with what was read off it.
func entered(t testing.TB) (*bench.Shelf, *bench.Set) {
	t.Helper()
	const file = "../../lessons/cards/bell-current-set.toml"
	source, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	c, messages := card.Read(file, source)
	in := folder.Open("../../lessons")
	defer in.Close()
	all, found := reading.ReadAll(in)
	for _, m := range append(messages, found...) {
		t.Fatal(m)
	}
	shelf := bench.New([]machine.Card{c})
	shelf.Enter(all)
	return shelf, shelf.Open(c.Name)
}

// What the shelf keeps of readings is as good as making it anew, and makes
// nothing twice.
func TestLog(t *testing.T) {
	shelf, set := entered(t)
	log := set.Readings()
	last := log.Since("2026-11-01")
	if log.Count() < 300 || last.Count() != 14 || last.Of("speed").Count() != 2 || last.Of("speed").Under("full").Count() != 1 || log.Until("2025-01-01").Count() != 14 {
		t.Fatalf("%d and %d readings", log.Count(), last.Count())
	}
	speed := last.Of("speed").Under("idle")
	if want := set.Steady(machine.Load{}).Frequency; math.Abs(speed.Expected()[0]-want) > 1e-5 || math.Abs(speed.Values()[0]-want) > 4*speed.Doubts()[0] {
		t.Errorf("read %v, expected %v, a steady state gives %v", speed.Values(), speed.Expected(), want)
	}
	if months := log.Months(); months[0] != 0 || math.Abs(months[len(months)-1]-23) > 0.2 {
		t.Errorf("%v to %v months", months[0], months[len(months)-1])
	}
	two := []string{"governor.contact-speed", "motor.field-resistance"}
	drift, fit := log.Drift(), last.Fit(two...)
	if drift.Spoke < 0 || drift.Since > drift.Spoke || drift.PerMonth > -0.0003 {
		t.Errorf("%+v", drift)
	}
	t.Logf("%+v", fit)
	if u := fit.Doubt(two[0]); math.Abs(fit.Constant(two[0])-16.79) > 3*u || u > 0.02 || math.Abs(fit.Correlated(two[0], two[0])-1) > 1e-9 {
		t.Errorf("%+v", fit)
	}
	again, set2 := entered(t)
	again.Recall(shelf.Kept())
	if got := set2.Readings().Drift(); !reflect.DeepEqual(got, drift) {
		t.Errorf("recalled %+v", got)
	}
	if got := set2.Readings().Since("2026-11-01").Fit(two...); !reflect.DeepEqual(got, fit) {
		t.Errorf("recalled %+v", got)
	}
	if n := len(again.Kept()); n != 0 {
		t.Errorf("%d runs were made anew", n)
	}
	for _, wrong := range []func(){
		func() { log.Until("2025-03-31").Drift() }, func() { last.Fit("governor.charm") }, func() { fit.Constant("governor.radius") },
	} {
		func() {
			defer func() {
				if m, ok := recover().(interface{ Error() string }); !ok || fmt.Sprint(m) == "" {
					t.Errorf("%v", m)
				}
			}()
			wrong()
		}()
	}
}

// A brake is a load that cells can ask for.
func TestBrakes(t *testing.T) {
	shelf, set := entered(t)
	list, messages := reading.Parse("r.csv", []byte("# Invented.\ndate,role,quantity,value,unit,uncertainty,load\n2026-05-02,docent,speed,15,Hz,0.1,0.45 N m\n2026-05-01,docent,speed,15,Hz,0.1,idle\n"))
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	shelf.Enter(list)
	if got := set.Readings().Of("speed").Brakes(); len(got) != 2 || got[0] != 0 || got[1] != 0.45 {
		t.Errorf("%v", got)
	}
}
