package motion

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/dop251/goja"
)

// script loads the page's script that knows what a drawing looks like.
func script(t testing.TB) *goja.Runtime {
	t.Helper()
	source, err := os.ReadFile("../../site/web/films.js")
	if err != nil {
		t.Fatal(err)
	}
	vm := goja.New()
	if _, err := vm.RunScript("films.js", string(source)); err != nil {
		t.Fatal(err)
	}
	return vm
}

// call runs a line of script and reads its value through JSON.
func call(t testing.TB, vm *goja.Runtime, into any, format string, args ...any) {
	t.Helper()
	line := fmt.Sprintf(format, args...)
	v, err := vm.RunString("JSON.stringify(" + line + ")")
	if err != nil {
		t.Fatalf("%s: %v", line, err)
	}
	if err := json.Unmarshal([]byte(v.String()), into); err != nil {
		t.Fatalf("%s: %s: %v", line, v, err)
	}
}

// filmOf gives the film of a motion as Draw made it.
func filmOf(t testing.TB, m sample) *film {
	t.Helper()
	c, err := read(m.motion)
	if err != nil {
		t.Fatal(err)
	}
	return mechanisms()[m.motion.Mechanism](c, words{wordsIn(t, "en")}).film
}

// The script draws every instant as Go draws the still: each part has the same
// attributes, to a tenth.
func TestScriptDrawsWhatGoDraws(t *testing.T) {
	vm := script(t)
	for _, m := range drawn(t) {
		f := filmOf(t, m)
		vm.Set("data", m.drawing.Data)
		if _, err := vm.RunString("var film = films.read(data)"); err != nil {
			t.Fatal(err)
		}
		for i := range 100 {
			// never at the very instant at which a contact changes
			part := (float64(i) + 0.37) / 100
			want := f.at(f.From + part*f.Span)
			var got [][3]*string
			call(t, vm, &got, "films.at(film, %v * film.span)", part)
			count := 0
			for _, set := range got {
				value, ok := lookUp(want[*set[0]], *set[1])
				if ok != (set[2] != nil) || ok && !near(value, *set[2]) {
					t.Fatalf("%s at %v: %s has %s=%v in the script, %q here", m.motion.Name, part, *set[0], *set[1], show(set[2]), value)
				}
				if ok {
					count++
				}
			}
			for _, attributes := range want {
				count -= len(attributes)
			}
			if count != 0 {
				t.Fatalf("%s at %v: the script gives %+d attributes more", m.motion.Name, part, count)
			}
		}
	}
}

// What the page shows before any script runs is what the script shows at the
// still.
func TestScriptBeginsAtTheStill(t *testing.T) {
	vm := script(t)
	for _, m := range drawn(t) {
		vm.Set("data", m.drawing.Data)
		var got [][3]*string
		call(t, vm, &got, "(function () { var f = films.read(data); return films.at(f, f.still) })()")
		if len(got) == 0 {
			t.Fatal("the script moves nothing")
		}
		parts := partsOf(t, m.drawing.SVG)
		for _, set := range got {
			value, ok := parts[*set[0]][*set[1]]
			if ok != (set[2] != nil) || ok && !near(value, *set[2]) {
				t.Errorf("%s: %s has %s=%v in the script, %q in the page", m.motion.Name, *set[0], *set[1], show(set[2]), value)
			}
		}
	}
}

func partsOf(t testing.TB, svg string) map[string]map[string]string {
	t.Helper()
	out := map[string]map[string]string{}
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := d.Token()
		if err == io.EOF {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := token.(xml.StartElement); ok {
			all := map[string]string{}
			for _, a := range e.Attr {
				all[a.Name.Local] = a.Value
			}
			if name := all["data-part"]; name != "" {
				out[name] = all
			}
		}
	}
}

func lookUp(all []attribute, name string) (string, bool) {
	for _, a := range all {
		if a.name == name {
			return a.value, true
		}
	}
	return "", false
}

var numeral = regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?`)

// near says whether two attributes are the same but for a tenth in a number,
// which rounding may decide either way.
func near(a, b string) bool {
	if numeral.ReplaceAllString(a, "#") != numeral.ReplaceAllString(b, "#") {
		return a == b
	}
	x, y := numeral.FindAllString(a, -1), numeral.FindAllString(b, -1)
	for i := range x {
		p, _ := strconv.ParseFloat(x[i], 64)
		q, _ := strconv.ParseFloat(y[i], 64)
		if math.Abs(p-q) > 0.1001 {
			return false
		}
	}
	return true
}

func show(s *string) string {
	if s == nil {
		return "nothing"
	}
	return strconv.Quote(*s)
}

// The decoding, the interpolation and the mapping of time, on numbers that can
// be worked out by hand.
func TestScriptByHand(t *testing.T) {
	vm := script(t)
	vm.Set("data", `{"from":1,"span":0.04,"slow":100,"still":0,"frames":3,
		"channels":{"angle":[10,3590,100],"travel":[-30,60,-20]},
		"switches":{"contact":[1,0.01,0.03]},
		"parts":[
			{"part":"a","does":"turn","by":"angle","x":5},
			{"part":"b","does":"shift","by":"travel","y":2},
			{"part":"c","does":"shift","by":"travel","past":true,"x":1},
			{"part":"d","does":"orbit","by":"angle","out":"travel","x":100,"y":100,"aty":50},
			{"part":"e","does":"bend","by":"travel","d":["M0 ",10,1,"H",4,-0.5]},
			{"part":"f","does":"thick","by":"travel","base":5,"factor":2},
			{"part":"g","does":"show","by":"contact"},
			{"part":"h","does":"show","by":"contact","when":1},
			{"part":"i","does":"point","by":"angle","x":100,"y":100,"atx":10},
			{"part":"j","does":"trace","by":"angle"},
			{"part":"k","does":"fade","by":"travel","base":0.1,"factor":0.2},
			{"part":"l","does":"over","by":"travel","base":2}],
		"say":"contact","words":{"play":"","pause":"","position":"","states":["open","closed"]}}`)
	if _, err := vm.RunString("var film = films.read(data)"); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ line, want string }{
		{`film.channels`, `{"angle":[1,360,370],"travel":[-3,3,1]}`},
		{`films.value(film, "travel", 0.01)`, `0`},
		{`films.value(film, "travel", 0.03)`, `2`},
		{`films.value(film, "travel", -1)`, `-3`},
		{`films.value(film, "travel", 0.04)`, `1`},
		{`films.value(film, "travel", 99)`, `1`},
		{`[0, 0.0099, 0.01, 0.0299, 0.03, 0.04].map(function (t) { return films.state(film, "contact", t) })`, `[1,1,0,0,1,1]`},
		{`films.at(film, 0.02)`, `[["a","transform","rotate(360 5 0)"],["b","transform","translate(0 6)"],["c","transform","translate(3 0)"],` +
			`["d","transform","translate(100 153)"],["e","d","M0 13H2.5"],["f","stroke-width","11"],["g","display",null],["h","display","none"],` +
			`["i","x2","110"],["i","y2","100"],["j","stroke-dasharray","360 9999"],["k","opacity","0.7"],["l","display",null]]`},
		{`films.at(film, 0).slice(-2)`, `[["k","opacity","0"],["l","display","none"]]`},
		{`films.at(film, 0)[2]`, `["c","transform","translate(0 0)"]`},
		// 100 times slower: 1 s of the reader's is 10 ms of the machine's.
		{`films.later(film, 0.01, 1000)`, `0.02`},
		{`films.later(film, 0.035, 1000) < 0.00501`, `true`},
		{`films.later(film, 0.01, 4000)`, `0.010000000000000002`},
		// One that ends stays there for 2 s of the reader's.
		{`films.later({ span: 0.04, slow: 100, ends: true }, 0.03, 2000)`, `0.05`},
		{`films.later({ span: 0.04, slow: 100, ends: true }, 0.03, 3500) < 0.00501`, `true`},
		{`[0.04, 0.041].map(function (t) { return films.held(film, t) })`, `[false,true]`},
		{`films.words(film, 0.05) === films.words(film, 0.04)`, `true`},
		{`films.words(film, 0.02)`, `"0°, open"`},
		{`films.words(film, 0.04)`, `"10°, closed"`},
		{`films.along({ from: 0, to: 0.1, left: 50, right: 250 }, 0.05)`, `150`},
		{`films.along({ from: 0, to: 0.1, left: 50, right: 250 }, 0.2)`, `null`},
		{`films.along({ from: 0, to: 0.1, left: 50, right: 250 }, -0.01)`, `null`},
	} {
		v, err := vm.RunString("JSON.stringify(" + c.line + ")")
		if err != nil {
			t.Errorf("%s: %v", c.line, err)
		} else if v.String() != c.want {
			t.Errorf("%s\n got %s\nwant %s", c.line, v, c.want)
		}
	}
}

// Classic scripts that run from a file share one world; each may bring one
// name into it.
func TestScriptBringsOneName(t *testing.T) {
	vm := goja.New()
	before := map[string]bool{}
	for _, k := range vm.GlobalObject().GetOwnPropertyNames() {
		before[k] = true
	}
	source, err := os.ReadFile("../../site/web/films.js")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := vm.RunString(string(source)); err != nil {
		t.Fatal(err)
	}
	var brought []string
	for _, k := range vm.GlobalObject().GetOwnPropertyNames() {
		if !before[k] {
			brought = append(brought, k)
		}
	}
	if len(brought) != 1 || brought[0] != "films" {
		t.Errorf("films.js brings %q", brought)
	}
}
