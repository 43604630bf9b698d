package site

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/dop251/goja"

	ui "slipring/render/words"
)

// TestSpeech runs speech.js, which needs no page and no voice.
func TestSpeech(t *testing.T) {
	source, err := web.ReadFile("web/speech.js")
	if err != nil {
		t.Fatal(err)
	}
	vm := goja.New()
	if _, err := vm.RunScript("speech.js", string(source)); err != nil {
		t.Fatal(err)
	}
	if _, err := vm.RunString(`
		var en = { minus: "minus", units: { "Hz": "hertz", "N": "newtons", "N m": "newton metres", "m": "metres", "s": "seconds", "%": "per cent", "r/min": "turns a minute", "\u00b0C": "degrees" } };
		var voices = [{ name: "far", lang: "en-GB", localService: false }, { name: "fr", lang: "fr_FR", localService: true }, { name: "a", lang: "en-US", localService: true }, { name: "b", lang: "en", localService: true, "default": true }];
		function name(v) { return v && v.name; }
		var log, text = ["One.", "Two.", "Three."], done;
		var r = speech.reader(function () { return text; }, function (line, then) { log.push(line); done = then; }, function () { log.push("silence"); }, function (on) { log.push(on); });
		function told() { var out = log.join(" "); log = []; return out; }
		log = [];`); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ ask, want string }{
		{`speech.spoken("It makes 19.90\u00a0Hz, under 0.5\u202fN m or 5 m.", en)`, "It makes 19.90 hertz, under 0.5 newton metres or 5 metres."},
		{`speech.spoken("From \u2212114 V to (-3 s), at 2 % and 40\u00a0\u00b0C", en)`, "From minus 114 V to (minus 3 seconds), at 2 per cent and 40 degrees"},
		{`speech.spoken("1200 r/min; 5 m/s; 3 mice; Hz", en)`, "1200 turns a minute; 5 m/s; 3 mice; Hz"},
		{`speech.spoken("16-bit  to and-fro", en)`, "16-bit to and-fro"},
		{`speech.spoken("1 Hz", { minus: "minus", units: {} })`, "1 Hz"},
		{`speech.lines(["It turns. It makes 19.9 Hz! Does it?", "A heading"]).join("|")`, "It turns.|It makes 19.9 Hz!|Does it?|A heading"},
		{`speech.lines(["\u00ab Un peu. \u00bb Puis rien.", "...", ""]).join("|")`, "\u00ab Un peu. \u00bb|Puis rien."},
		{`speech.lines([new Array(60).join("word, ") + "end."]).every(function (l) { return l.length <= 220; })`, "true"},
		{`speech.lines([new Array(60).join("word, ") + "end."]).join(" ").length`, fmt.Sprint(59*6 + 4)},
		{`name(speech.voice(voices, "en"))`, "b"},
		{`name(speech.voice(voices, "fr"))`, "fr"},
		{`name(speech.voice(voices.slice(0, 3), "en"))`, "a"},
		{`speech.voice(voices.slice(0, 1), "en")`, "null"},
		{`speech.voice([], "en")`, "null"},
		// one after the other, to the end
		{`r.start(), told()`, "true One."},
		{`text[1] = "Second.", done(), told()`, "Second."}, // as it is now
		{`done(), told()`, "Three."},
		{`done(), told() + r.reading()`, "silence falsefalse"},
		// stopped, and what is late is not heard of
		{`r.start(), done(), told()`, "true One. Second."},
		{`r.stop(), told()`, "silence false"},
		{`done(), told() + r.reading()`, "false"},
		{`r.stop(), told()`, ""},
		// from the beginning again, also in the middle
		{`r.start(), done(), told()`, "true One. Second."},
		{`var late = done; r.start(), told()`, "silence false true One."},
		{`late(), told()`, ""},
		{`done(), told()`, "Second."},
		{`text.length = 1, done(), told()`, "silence false"},
	} {
		got, err := vm.RunString(c.ask)
		if err != nil {
			t.Fatal(c.ask, err)
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("%s is %q, want %q", c.ask, got, c.want)
		}
	}
}

// voices stands in for a computer's voices, which a browser without a screen has
// not got: one that sends words away and one of the computer itself, in the
// languages that are asked for. It says a line when said() is called.
const voices = `(languages => {
	const heard = window.heard = [];
	let current = null;
	const fake = new EventTarget();
	fake.getVoices = () => languages.flatMap(lang => [{name: "far", lang, localService: false}, {name: "own", lang, localService: true}]);
	fake.speak = u => { current = u; heard.push(u.text); };
	fake.cancel = () => { if (current) { const u = current; current = null; heard.push("(stop)"); u.onerror && u.onerror({error: "canceled"}); } };
	window.said = () => { const u = current; current = null; u.onend(); };
	window.speaking = () => current !== null;
	Object.defineProperty(window, "speechSynthesis", {value: fake});
	window.SpeechSynthesisUtterance = function (text) { this.text = text; };
})`

// speak gives pages that are opened from now on voices in some languages.
func (v *visit) speak(languages ...string) (undo func()) {
	v.t.Helper()
	list, _ := json.Marshal(append([]string{}, languages...))
	script := command(v, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: voices + "(" + string(list) + ")"})
	return func() {
		command(v, page.RemoveScriptToEvaluateOnNewDocument, page.RemoveScriptToEvaluateOnNewDocumentParams(script))
	}
}

const (
	readButton = `document.querySelector(".screen.shown .bar .read")`
	heardAll   = `heard.join("|").replace(/\s/g, " ")`
	toTheEnd   = `(() => { while (speaking()) said(); return heard.join("|").replace(/\s/g, " "); })()`
)

// TestReading listens to the kiosk.
func TestReading(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := openVisit(t)
	in := inputOf(t, [][2]string{{"first", firstLesson}, {"second", secondLesson}, {"third", thirdLesson}})
	mustWrite(t, treeOf(t, in), v.dir)
	v.run("no voice", func() {
		v.open("kiosk/third.html#screen.2", 1920, 1080)
		v.want("0", `document.querySelectorAll(".read").length`)
	})
	v.run("a voice in another language", func() {
		defer v.speak("de")()
		v.open("kiosk/third.html#screen.2", 1920, 1080)
		v.want("0", `document.querySelectorAll(".read").length`)
	})
	defer v.speak("en-GB")()
	v.run("read", func() {
		v.open("kiosk/third.html#screen.2", 1920, 1080)
		v.want("Read to me", readButton+`.textContent`)
		v.want("true", readButton+`.getBoundingClientRect().height > 72`)
		v.value(readButton + `.click()`)
		v.want("Load", heardAll)
		v.want("Stop reading", readButton+`.textContent`)
		v.want("true", `(said(), heard[1].includes("19.9 times a second"))`)
		v.value(turned(firstKnob, 40))
		got := v.value(toTheEnd)
		if !strings.Contains(got, "stands at 2.00 newton metres.") || !strings.Contains(got, "Under load") {
			t.Errorf("after the knob was turned it says %q", got)
		}
		if v.value(readButton+`.textContent`) != "Read to me" {
			t.Error("at its end it goes on")
		}
		v.value(`heard.length = 0, ` + readButton + `.click()`)
		v.want("Load", heardAll) // once more, from the beginning
		v.value(readButton + `.click()`)
		v.want("Load|(stop)", heardAll)
	})
	v.run("stops", func() {
		v.open("kiosk/third.html#screen.2", 1920, 1080)
		v.value(readButton + `.click()`)
		v.want("Load", heardAll)
		v.value(`document.querySelector(".screen.shown .next").click()`)
		v.until("Load|(stop)", heardAll)
		v.want("screen.3", onScreen)
		v.value(`heard.length = 0, ` + readButton + `.click()`)
		v.value(`document.querySelector("dialog.ask").showModal()`)
		v.until("Heat|(stop)", heardAll)
		v.value(`document.querySelector("dialog.ask").close(), heard.length = 0, ` + readButton + `.click()`)
		v.value(`(a => { document.body.append(a); a.dispatchEvent(new Event("play")); })(document.createElement("audio"))`)
		v.until("Heat|(stop)", heardAll)
	})
	v.run("as the script for a recording", func() {
		script := documents(t, treeOf(t, in))[scriptPath]
		var want []string
		for _, n := range script.tags("p") {
			want = append(want, strings.Join(strings.Fields(text(n)), " "))
		}
		for name, screens := range map[string][]string{"kiosk/first.html": {"screen.2", "screen.3"}, "kiosk/third.html": {"screen.2", "screen.3"}} {
			for _, id := range screens {
				v.open(name+"#"+id, 1920, 1080)
				v.value(readButton + `.click()`)
				said := strings.Split(v.value(toTheEnd), "|")
				whole := strings.Join(want, " ")
				for _, line := range said {
					if line != "(stop)" && !strings.Contains(whole, line) && !strings.ContainsAny(line, "0123456789") {
						t.Errorf("%s#%s says %q, which the script has not", name, id, line)
					}
				}
				if len(said) < 4 {
					t.Errorf("%s#%s says only %q", name, id, said)
				}
			}
		}
	})
}

// What is said of pieces of a page.
func TestSpoken(t *testing.T) {
	e := documents(t, treeOf(t, frenchInput(t)))
	if _, ok := e[scriptPath]; !ok {
		t.Fatalf("there is no %s", scriptPath)
	}
	english, err := ui.In("en")
	if err != nil {
		t.Fatal(err)
	}
	got, err := spoken(english, `<h2>A <b>weight</b></h2>`,
		`<p>It turns <data class="quote" value="20">20&nbsp;times</data>.</p><div class="guess"><p class="asked">Why?</p><ul class="offers"><li><button>One</button></li><li><button>Two</button></li></ul><p class="right good">Two.</p><div class="told" hidden><p>Told</p></div></div><div class="after"><p>So.</p></div>`,
		`<div class="knob" data-knob="0"><label class="called">load</label> <data class="setting">0.50 N m</data><div class="dial"><svg><desc>no</desc></svg></div></div><figure class="drawing"><svg><title>T</title><desc>Between 0 and 1.</desc><text>x</text></svg><figcaption>One turn.</figcaption></figure><table><tr><th>who</th><td>20</td></tr></table><script>no</script>`)
	want := []string{"A weight", "It turns 20 times.", "Why?", "One", "Two", "After the guess:", "Two.", "So.", "The knob for load stands at 0.50 N m.", "One turn.", "Between 0 and 1.", "who, 20"}
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("it says\n%q, want\n%q (%v)", got, want, err)
	}
}
