package site

import (
	"fmt"
	"testing"

	"github.com/dop251/goja"
)

// TestScreens runs screens.js, which needs no page, and asks it questions.
func TestScreens(t *testing.T) {
	source, err := web.ReadFile("web/screens.js")
	if err != nil {
		t.Fatal(err)
	}
	vm := goja.New()
	if _, err := vm.RunScript("screens.js", string(source)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ ask, want string }{
		{`screens.place("#screen.2", ["screen.1", "screen.2"])`, "1"},
		{`screens.place("", ["screen.1", "screen.2"])`, "0"},
		{`screens.place("#nowhere", ["screen.1", "screen.2"])`, "0"},
		{`screens.place("#screen.1", [])`, "0"},
		{`screens.step("ArrowRight", 0, 3)`, "1"},
		{`screens.step("ArrowRight", 2, 3)`, "2"},
		{`screens.step("PageDown", 1, 3)`, "2"},
		{`screens.step("ArrowLeft", 1, 3)`, "0"},
		{`screens.step("PageUp", 0, 3)`, "0"},
		{`screens.step("Home", 2, 3)`, "0"},
		{`screens.step("End", 0, 3)`, "2"},
		{`screens.step("Escape", 1, 3)`, "-1"},
		{`screens.step("Tab", 1, 3)`, "null"},
		{`screens.step("Enter", 1, 3)`, "null"},
		{`screens.place("#screen.2~3~0", ["screen.1", "screen.2"])`, "1"},
		{`screens.carry("a.html#screen.2", [])`, "a.html#screen.2"},
		{`screens.carry("a.html#screen.2~1", [3, 0])`, "a.html#screen.2~3~0"},
		{`screens.carried("#screen.2~3~0", 2)`, "3,0"},
		{`screens.carried("#screen.2~3~0", 3)`, "null"},
		{`screens.carried("#screen.2~3~-1", 2)`, "null"},
		{`screens.carried("#screen.2~3~x", 2)`, "null"},
		{`screens.carried("#screen.2", 0)`, "null"},
		{`screens.swiped(-90, 10, 86)`, "1"},
		{`screens.swiped(-90, 10, 91)`, "0"},
		{`screens.swiped(120, -60, 86)`, "-1"},
		{`screens.swiped(120, 61, 86)`, "0"},
		{`screens.swiped(0, 300, 86)`, "0"},
		{`screens.sized("a.html#screen.2~1", true)`, "a.html?larger#screen.2~1"},
		{`screens.sized("a.html?larger#screen.2", true)`, "a.html?larger#screen.2"},
		{`screens.sized("a.html?larger", false)`, "a.html"},
		{`screens.sized("../kiosk/a.html", true)`, "../kiosk/a.html?larger"},
		{`screens.among("ArrowRight", -1, 12, 4)`, "0"},
		{`screens.among("ArrowRight", 3, 12, 4)`, "4"},
		{`screens.among("ArrowRight", 11, 12, 4)`, "11"},
		{`screens.among("ArrowLeft", 0, 12, 4)`, "0"},
		{`screens.among("ArrowDown", 5, 12, 4)`, "9"},
		{`screens.among("ArrowDown", 9, 12, 4)`, "9"},
		{`screens.among("ArrowUp", 5, 12, 4)`, "1"},
		{`screens.among("Home", 5, 12, 4)`, "0"},
		{`screens.among("End", 5, 12, 4)`, "11"},
		{`screens.among("End", -1, 0, 0)`, "null"},
		{`screens.among("Tab", 5, 12, 4)`, "null"},
		{`screens.idle(0, 75, 90)`, "stay"},
		{`screens.idle(74.9, 75, 90)`, "stay"},
		{`screens.idle(75, 75, 90)`, "ask"},
		{`screens.idle(89.9, 75, 90)`, "ask"},
		{`screens.idle(90, 75, 90)`, "leave"},
	} {
		got, err := vm.RunString(c.ask)
		if err != nil {
			t.Fatal(err)
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("%s is %v, want %s", c.ask, got, c.want)
		}
	}
}
