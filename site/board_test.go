package site

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/dop251/goja"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/net/html"

	"slipring/engine/bench"
	"slipring/engine/card"
	"slipring/engine/machine"
	"slipring/engine/tell"
	"slipring/render/motion"
	ui "slipring/render/words"
)

// wiredBoard gives the demonstration's board at rest, as the lessons folder has it.
func wiredBoard(t *testing.T) *bench.Wiring {
	t.Helper()
	read := func(name string) []byte {
		source, err := os.ReadFile("../lessons/" + name)
		if err != nil {
			t.Fatal(err)
		}
		return source
	}
	c, messages := card.Read("bell-current-set.toml", read("cards/bell-current-set.toml"))
	w, more := card.ReadWiring("parts.toml", read("wiring/parts.toml"), "wires.csv", read("wiring/wires.csv"))
	for _, m := range append(messages, more...) {
		t.Log(m)
	}
	shelf := bench.New([]machine.Card{c})
	shelf.Wire(w.Wiring)
	return shelf.Wiring()
}

// triedBoard is a board with states, each with the wiring that it shows.
func triedBoard(t *testing.T) (tell.Board, []*bench.Wiring) {
	t.Helper()
	rest := wiredBoard(t)
	up := rest.Press("start").At(8)
	out := up.Blow("F12").At(10)
	all := []*bench.Wiring{rest.At(1), up, out, out.Press("silence").At(12), up.Cut("W57").At(10), up.Press("changeover").At(11), up.Press("stop").At(14)}
	var s tell.Sheet
	s.Board("board", rest.Front(),
		all[0].Show("rest", "", "At rest."),
		all[1].Show("runs", "Press start", "It runs.").After("rest", "stopped"),
		all[2].Show("fuse", "Pull a fuse", "A fuse is out.").After("runs").Back("Put it right", "runs"),
		all[3].Show("hushed", "Press silence", "It is silent.").After("fuse").Back("Put it right", "runs"),
		all[4].Show("cut", "Cut a wire", "A wire is cut.").After("runs").Back("Put it right", "runs"),
		all[5].Show("over", "Turn the key", "The key is over.").After("runs").Back("Put it right", "runs"),
		all[6].Show("stopped", "Press stop", "It runs down.").After("runs"))
	return s.Result().Boards[0], all
}

func drawBoard(t *testing.T, b tell.Board, language string) motion.Front {
	t.Helper()
	w, err := ui.In(language)
	if err != nil {
		t.Fatal(err)
	}
	d, err := motion.DrawBoard(b, motion.Settings{ID: "b", Words: w}, func(s string) string { return s })
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// hidden says whether something is not displayed.
func hiddenPart(n *html.Node) bool { return attr(n, "display") == "none" }

// litIn lists the lamps that a drawing shows lit, and whether its bell rings.
func litIn(t *testing.T, svg string, b tell.Board) (lit []string, rings bool) {
	t.Helper()
	root, err := html.Parse(strings.NewReader(svg))
	if err != nil {
		t.Fatal(err)
	}
	shown := map[string]bool{}
	for n := range root.Descendants() {
		if part := attr(n, "data-part"); part != "" && !hiddenPart(n) {
			shown[part] = true
		}
	}
	for _, p := range b.Parts {
		if shown[p.Name+".lit"] {
			lit = append(lit, p.Text)
		}
		rings = rings || shown[p.Name+".rings"]
	}
	return lit, rings
}

// The lamps that the drawing shows lit are those that are lit in the model, in
// every state: as the first is drawn, and as the script then shows it. So do the
// words that say it.
func TestBoardShowsTheModel(t *testing.T) {
	b, all := triedBoard(t)
	vm := boardScript(t)
	if err := vm.Set("text", drawBoard(t, b, "en").Data); err != nil {
		t.Fatal(err)
	}
	run(t, vm, "var data = boards.read(text)")
	for i, w := range all {
		first := b
		first.States = slices.Clone(b.States)
		first.States[0], first.States[i] = b.States[i], b.States[0]
		d := drawBoard(t, first, "en")
		lit, rings := litIn(t, d.SVG, b)
		if !slices.Equal(lit, w.Lit()) || rings != w.Rings() {
			t.Errorf("%s: drawn %q, rings %v; the model has %q, %v", b.States[i].Name, lit, rings, w.Lit(), w.Rings())
		}
		for _, text := range lit {
			if !strings.Contains(d.States[0].Says, text) {
				t.Errorf("%s: %q does not name %q", b.States[i].Name, d.States[0].Says, text)
			}
		}
		// Its small drawing has as many sets of rays, but for the key's.
		if n := strings.Count(d.States[0].SVG, "lens lit"); n != len(lit) {
			t.Errorf("%s: %d lamps are lit in small, %d in large", b.States[i].Name, n, len(lit))
		}
		var told []string
		code := fmt.Sprintf(`films.at(data.states[%d].film, data.states[%d].film.span).filter(function (s) { return /\.(lit|rings)$/.test(s[0]) && s[2] === null; }).map(function (s) { return s[0]; })`, i, i)
		if err := vm.ExportTo(run(t, vm, code), &told); err != nil {
			t.Fatal(err)
		}
		var want []string
		for _, p := range b.Parts {
			if is := b.States[i].Is(p.Name); is == "lit" || is == "rings" {
				want = append(want, p.Name+"."+is)
			}
		}
		if !slices.Equal(told, want) {
			t.Errorf("%s: the script shows %q, the model %q", b.States[i].Name, told, want)
		}
	}
}

// Every needle stands where its scale has what the board's meter reads.
func TestBoardNeedles(t *testing.T) {
	b, all := triedBoard(t)
	vm := boardScript(t)
	if err := vm.Set("text", drawBoard(t, b, "en").Data); err != nil {
		t.Fatal(err)
	}
	run(t, vm, "var data = boards.read(text)")
	for i, w := range all {
		for _, p := range b.Parts {
			if p.Full == 0 {
				continue
			}
			angle := run(t, vm, fmt.Sprintf("films.value(data.states[%d].film, %q, 1e9)", i, p.Name)).ToFloat()
			// From end to end of the scale it turns by 104 degrees.
			if reads := (angle/52 + 1) / 2 * p.Full; math.Abs(reads-max(-0.04*p.Full, min(w.Meter(p.Name), 1.04*p.Full))) > p.Full/1000 {
				t.Errorf("%s: %s points to %.2f, and reads %.2f", b.States[i].Name, p.Name, reads, w.Meter(p.Name))
			}
		}
	}
}

// Each act leads from the states in which it can be done, and from no other.
func TestBoardActs(t *testing.T) {
	b, _ := triedBoard(t)
	vm := boardScript(t)
	if err := vm.Set("text", drawBoard(t, b, "fr").Data); err != nil {
		t.Fatal(err)
	}
	run(t, vm, "var data = boards.read(text)")
	var acts []string
	if err := vm.ExportTo(run(t, vm, "boards.acts(data)"), &acts); err != nil {
		t.Fatal(err)
	}
	if want := []string{"Press start", "Pull a fuse", "Press silence", "Cut a wire", "Turn the key", "Press stop", "Put it right"}; !slices.Equal(acts, want) {
		t.Errorf("the acts are %q, want %q", acts, want)
	}
	for code, want := range map[string]string{
		`boards.leads(data, 0, "Press start")`:    `{"to":1,"plays":true}`,
		`boards.leads(data, 6, "Press start")`:    `{"to":1,"plays":true}`,
		`boards.leads(data, 1, "Press start")`:    `null`,
		`boards.leads(data, 0, "Pull a fuse")`:    `null`,
		`boards.leads(data, 2, "Press silence")`:  `{"to":3,"plays":true}`,
		`boards.leads(data, 3, "Put it right")`:   `{"to":1,"plays":false}`,
		`boards.leads(data, 0, "Put it right")`:   `null`,
		`boards.later(data.states[1], 7.99, 5)`:   `7.995`,
		`boards.later(data.states[1], 7.99, 100)`: `8`,
		`boards.ended(data.states[1], 8)`:         `true`,
		`boards.ended(data.states[1], 7.9)`:       `false`,
		`boards.clock(data, 1, 2.64)`:             "\"Press start\u00a0: 2,6\u00a0s\"",
	} {
		if got := run(t, vm, "JSON.stringify("+code+")").String(); got != want {
			t.Errorf("%s gives %s, want %s", code, got, want)
		}
	}
}

// All that is written on the board stands within its frame, and no two lines lie
// over each other, in each language.
func TestBoardTextInBounds(t *testing.T) {
	b, _ := triedBoard(t)
	face, err := opentype.Parse(goregular.TTF)
	if err != nil {
		t.Fatal(err)
	}
	type box struct {
		text                     string
		left, top, right, bottom float64
	}
	for _, language := range []string{"en", "fr"} {
		root, err := html.Parse(strings.NewReader(drawBoard(t, b, language).SVG))
		if err != nil {
			t.Fatal(err)
		}
		texts := 0
		for svg := range root.Descendants() {
			if svg.Data != "svg" {
				continue
			}
			size := strings.Fields(attr(svg, "viewbox") + attr(svg, "viewBox"))
			wide, high := boardNumber(t, size[2]), boardNumber(t, size[3])
			var boxes []box
			for n := range svg.Descendants() {
				if n.Data != "text" {
					continue
				}
				texts++
				px := boardNumber(t, attr(n, "font-size"))
				of, err := opentype.NewFace(face, &opentype.FaceOptions{Size: px, DPI: 72, Hinting: font.HintingNone})
				if err != nil {
					t.Fatal(err)
				}
				w := float64(font.MeasureString(of, n.FirstChild.Data)) / 64
				x, y := boardNumber(t, attr(n, "x")), boardNumber(t, attr(n, "y"))
				switch attr(n, "text-anchor") {
				case "middle":
					x -= w / 2
				case "end":
					x -= w
				}
				one := box{n.FirstChild.Data, x, y - 0.75*px, x + w, y + 0.22*px}
				if one.left < 2 || one.right > wide-2 || one.top < 2 || one.bottom > high-2 {
					t.Errorf("%s: %q reaches beyond its frame of %g by %g: %+v", language, one.text, wide, high, one)
				}
				for _, o := range boxes {
					if one.left < o.right && o.left < one.right && one.top < o.bottom-0.5 && o.top < one.bottom-0.5 {
						t.Errorf("%s: %q lies over %q", language, one.text, o.text)
					}
				}
				boxes = append(boxes, one)
			}
		}
		if texts < 30 {
			t.Errorf("%s: only %d texts", language, texts)
		}
	}
}

// A board of another house has its own drawing: its frames, its lamps by their
// colours, and no more.
func TestBoardOfAnotherHouse(t *testing.T) {
	var s tell.Sheet
	var front []tell.BoardPart
	for i := range 6 {
		front = append(front, tell.BoardPart{Name: fmt.Sprint("L", i), Kind: "lamp", Text: fmt.Sprint("gate ", i+1, " open"), Colour: []string{"green", "red"}[i%2], Frame: 1 + i, Row: 1})
	}
	s.Board("gates", front, tell.BoardState{Name: "all", Says: "All are open.", Seconds: 1, Changes: []tell.BoardChange{{Part: "L3", Is: "lit"}, {Part: "L4", Is: "dim"}}})
	d := drawBoard(t, s.Result().Boards[0], "en")
	lit, rings := litIn(t, d.SVG, s.Result().Boards[0])
	if !slices.Equal(lit, []string{"gate 4 open"}) || rings || strings.Count(d.SVG, "<svg") != 6 || strings.Count(d.SVG, "lens dark green") != 3 || strings.Count(d.SVG, "lens dark red") != 3 {
		t.Errorf("lit %q, rings %v, %d frames", lit, rings, strings.Count(d.SVG, "<svg"))
	}
	if want := "All are open. 1 lamp is lit: gate 4 open. Faint: gate 5 open."; d.States[0].Says != want || d.States[0].Reads != "" {
		t.Errorf("says %q, reads %q", d.States[0].Says, d.States[0].Reads)
	}
}

func boardScript(t *testing.T) *goja.Runtime {
	t.Helper()
	vm := goja.New()
	for _, name := range []string{"films", "boards"} {
		source, err := web.ReadFile("web/" + name + ".js")
		if err != nil {
			t.Fatal(err)
		}
		run(t, vm, string(source))
	}
	return vm
}

func boardNumber(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
