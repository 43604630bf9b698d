package site

import (
	"fmt"
	"testing"

	"github.com/dop251/goja"
)

// TestAnswers runs answers.js and places.js, which need no page, and asks them.
func TestAnswers(t *testing.T) {
	vm := goja.New()
	for _, name := range []string{"answers.js", "places.js"} {
		source, err := web.ReadFile("web/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := vm.RunScript(name, string(source)); err != nil {
			t.Fatal(err)
		}
	}
	const number, choice, order = `{kind: "number", number: 0.1, within: 0.005, unit: "Hz", comma: true}`,
		`{kind: "choice", right: [2]}`, `{kind: "order", right: [2, 0, 1]}`
	for _, c := range []struct{ ask, want string }{
		{`answers.read("19.95", "Hz", false)`, "19.95"},
		{`answers.read(" 19.95 Hz ", "Hz", false)`, "19.95"},
		{`answers.read("19.95Hz", "Hz", false)`, "19.95"},
		{`answers.read("19,95", "Hz", false)`, "null"},
		{`answers.read("19,95\u00a0Hz", "Hz", true)`, "19.95"},
		{`answers.read("19.95", "Hz", true)`, "19.95"},
		{`answers.read("1,234,5", "", true)`, "null"},
		{`answers.read("\u22120,1", "", true)`, "-0.1"},
		{`answers.read("-.5", "", false)`, "-0.5"},
		{`answers.read("5.", "", false)`, "5"},
		{`answers.read("", "Hz", false)`, "null"},
		{`answers.read("Hz", "Hz", false)`, "null"},
		{`answers.read("1e3", "", false)`, "null"},
		{`answers.read("0x10", "", false)`, "null"},
		{`answers.read("Infinity", "", false)`, "null"},
		{`answers.read("12 mV", "V", false)`, "null"},
		{`answers.check(` + number + `, "0,104 Hz")`, "right"},
		{`answers.check(` + number + `, "0,105")`, "right"}, // the very limit
		{`answers.check(` + number + `, "0,106")`, "wrong"},
		{`answers.check(` + number + `, "-0,1")`, "wrong"},
		{`answers.check(` + number + `, "fast")`, "write"},
		{`answers.check(` + choice + `, 2)`, "right"},
		{`answers.check(` + choice + `, 0)`, "wrong"},
		{`answers.check(` + choice + `, -1)`, "choose"},
		// Item 2 comes first, then 0, then 1: their places are 1, 2, 0.
		{`answers.check(` + order + `, [1, 2, 0])`, "right"},
		{`answers.check(` + order + `, [2, 0, 1])`, "wrong"},
		{`answers.check(` + order + `, [0, 0, 1])`, "place"},
		{`answers.check(` + order + `, [0, "", 1])`, "place"},
		// The first answer decides whether it was right at first try, and an
		// answer that was shown never counts.
		{`answers.after("", "right")`, "first"},
		{`answers.after("", "wrong")`, "tried"},
		{`answers.after("", "shown")`, "shown"},
		{`answers.after("tried", "right")`, "later"},
		{`answers.after("tried", "wrong")`, "tried"},
		{`answers.after("tried", "shown")`, "shown"},
		{`["first", "later", "shown"].map(had => ["right", "wrong", "shown", "write"].map(what => answers.after(had, what)).join()).join()`,
			"first,first,first,first,later,later,later,later,shown,shown,shown,shown"},
		// What is no answer is no try.
		{`["write", "choose", "place"].map(what => answers.after("", what) + answers.after("tried", what)).join()`, "tried,tried,tried"},
		{`places.nearest([-500, 20, 700], 300)`, "1"},
		{`places.nearest([400, 900], 300)`, "-1"},
		{`places.nearest([], 300)`, "-1"},
		{`places.address("fr.html", ["a", "b"], 1, 2)`, "fr.html#b"},
		{`places.address("fr.html#a", ["a", "b"], -1, 2)`, "fr.html"},
		{`places.address("fr.html", ["a", "b"], 1, 3)`, "fr.html"},
	} {
		got, err := vm.RunString(c.ask)
		if err != nil {
			t.Fatalf("%s: %v", c.ask, err)
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("%s is %v, want %s", c.ask, got, c.want)
		}
	}
	vm2 := goja.New()
	before, _ := vm2.RunString(`Object.getOwnPropertyNames(this).length`)
	for _, name := range []string{"answers.js", "places.js"} {
		source, _ := web.ReadFile("web/" + name)
		if _, err := vm2.RunScript(name, string(source)); err != nil {
			t.Fatal(err)
		}
	}
	after, _ := vm2.RunString(`Object.getOwnPropertyNames(this).length`)
	if after.ToInteger() != before.ToInteger()+2 {
		t.Errorf("two scripts bring %d names", after.ToInteger()-before.ToInteger())
	}
}
