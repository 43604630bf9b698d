package site

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
	"golang.org/x/net/html"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
	"slipring/engine/waveform"
)

const soundLesson = "```lesson\ntitle = \"Tones\"\n```\n\nIt hums.\n\n" +
	"![One hears the *stop* tone](sound:stop)\n\n![At any speed](figure:line)\n\n![The low tone at any speed](sound:low)\n\n" +
	"```visitor\n## Hear it\n\nTouch the button.\n\n![The stop tone](sound:stop)\n```\n\n" +
	"```visitor\n## Faster\n\nTurn the knob.\n\n![The line](figure:line)\n\n![The low tone](sound:low)\n```\n"

// soundInput is the sample with a lesson that is heard.
func soundInput(t *testing.T) Input {
	t.Helper()
	in := inputOf(t, [][2]string{{"first", firstLesson}, {"second", secondLesson}, {"third", thirdLesson}})
	l, messages := lesson.Parse("tones/lesson.md", []byte(soundLesson))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	l.Slug, l.Folder = "tones", "04-tones"
	var s tell.Sheet
	s.Tone("stop", 1, waveform.Partial{Frequency: 420, Amplitude: 1})
	s.Knob("speed", tell.Range{From: 18, To: 22, Steps: 3, Start: 20, Unit: "Hz", Label: "speed"}, func(x float64) {
		s.Tone("low", 0.5, waveform.Partial{Frequency: 8 * x, Amplitude: 1})
		s.Figure(tell.Figure{Name: "line", Panes: []tell.Pane{{Lines: []tell.Line{{Label: "l", X: []float64{0, 1}, Y: []float64{x, 1}}}}}})
	})
	report, messages := proof.Check(l, s.Result(), in.Cards, nil)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	in.Lessons = append(in.Lessons, proof.Checked{Lesson: l, Result: s.Result(), Report: report})
	return in
}

// Sounds are files beside the page, one for each position of a knob; pages
// hold the browser's own controls and the words, paper the words alone.
func TestSoundsOnPages(t *testing.T) {
	tree := treeOf(t, soundInput(t))
	var files []string
	for name, content := range tree {
		if strings.HasSuffix(name, ".wav") {
			files = append(files, name)
			if !bytes.HasPrefix(content, []byte("RIFF")) {
				t.Errorf("%s is no sound", name)
			}
		}
	}
	slices.Sort(files)
	if want := []string{"course/tones/sound-low.1.wav", "course/tones/sound-low.2.wav", "course/tones/sound-low.3.wav", "course/tones/sound-stop.1.wav"}; !slices.Equal(files, want) {
		t.Errorf("the sounds are %q", files)
	}
	if n := len(tree["course/tones/sound-stop.1.wav"]); n != 44+2*11025 {
		t.Errorf("a second takes %d bytes", n)
	}
	pages := documents(t, tree)
	for name, want := range map[string]struct{ sources, captions []string }{
		"course/tones/index.html": {[]string{"sound-stop.1.wav", "sound-low.2.wav"}, []string{"One hears the stop tone", "The low tone at any speed"}},
		"kiosk/tones.html":        {[]string{"../course/tones/sound-stop.1.wav", "../course/tones/sound-low.2.wav"}, []string{"The stop tone", "The low tone"}},
		"handout/tones.html":      {nil, []string{"The stop tone", "The low tone"}},
		"course/first/index.html": {},
	} {
		d := pages[name]
		var sources, captions []string
		has := func(n *html.Node, key string) bool {
			return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == key })
		}
		for _, n := range d.tags("audio") {
			sources = append(sources, attr(n, "src"))
			if !has(n, "controls") || has(n, "autoplay") || attr(n, "preload") != "none" || !d.ids[attr(n, "aria-labelledby")] {
				t.Errorf("%s: a sound has %v", name, n.Attr)
			}
			if kiosk := strings.HasPrefix(name, "kiosk/"); has(n, "data-play") != kiosk || has(n, "data-stop") != kiosk {
				t.Errorf("%s: a sound has the words of a button: %v", name, !kiosk)
			}
		}
		for _, n := range append(d.class("sound"), d.class("heard")...) {
			captions = append(captions, strings.TrimPrefix(text(n), "On the screens one hears: "))
		}
		if !slices.Equal(sources, want.sources) || !slices.Equal(captions, want.captions) {
			t.Errorf("%s has %q, %q", name, sources, captions)
		}
		policy := ""
		for _, n := range d.tags("meta") {
			if attr(n, "http-equiv") == "Content-Security-Policy" {
				policy = attr(n, "content")
			}
		}
		if got := strings.Contains(policy, "media-src 'self' file:"); got != (len(sources) > 0) {
			t.Errorf("%s has the policy %q", name, policy)
		}
	}
	// A knob that a figure and a sound share is there once in each place.
	if n := len(pages["course/tones/index.html"].class("knob")); n != 1 {
		t.Errorf("the course has %d knobs", n)
	}
	if n := len(pages["kiosk/tones.html"].class("knob")); n != 1 {
		t.Errorf("the kiosk has %d knobs", n)
	}
	if n := len(pages["handout/tones.html"].class("knob")); n != 1 {
		t.Errorf("the handout has %d knobs", n)
	}
}

// TestSoundsInBrowser hears the sounds as visitors do: by a button that a thumb
// finds, from files on a disk, and none by itself.
func TestSoundsInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := openVisit(t)
	mustWrite(t, treeOf(t, soundInput(t)), v.dir)
	v.open("kiosk/tones.html#screen.2", 1920, 1080)
	v.want("true", `[...document.querySelectorAll("audio")].every(a => a.paused && a.hidden)`)
	const button = `document.querySelector("#screen\\.2 .hear")`
	v.want("Listen false", button+`.textContent + " " + `+button+`.getAttribute("aria-pressed")`)
	v.want("true", `(r => r.width >= 60 && r.height >= 60)(`+button+`.getBoundingClientRect())`)
	touch := func(selector string) { // for which the browser lets a sound play
		var x, y float64
		at := v.value(`(r => (r.left + r.width / 2) + " " + (r.top + r.height / 2))(document.querySelector("` + selector + `").getBoundingClientRect())`)
		if _, err := fmt.Sscan(at, &x, &y); err != nil {
			t.Fatal(err)
		}
		v.do(chromedp.MouseClickXY(x, y))
	}
	const first, low = `document.querySelector("#sound\\.stop")`, `document.querySelector("#sound\\.low")`
	touch(".screen.shown .hear")
	v.until("true", first+`.currentTime > 0`)
	v.want("Stop true", button+`.textContent + " " + `+button+`.getAttribute("aria-pressed")`)
	v.until("true", first+`.duration > 0.99 && `+first+`.duration < 1.01`)
	v.until("Listen", button+`.textContent`) // it ends by itself
	touch(".screen.shown .hear")
	v.until("false", first+`.paused`)
	touch(".screen.shown .next")
	v.until("true", first+`.paused`) // who leaves the screen leaves its sound
	v.want("true", low+`.src.endsWith("sound-low.2.wav")`)
	v.value(turned(firstKnob, 2))
	v.want("true true", low+`.src.endsWith("sound-low.3.wav") + " " + `+low+`.paused`)
	v.silence("kiosk")

	v.open("course/tones/index.html", 1280, 900)
	v.want("2 0", `document.querySelectorAll("audio[controls]:not([hidden])").length + " " + document.querySelectorAll(".hear").length`)
	touch("h1")
	v.value(low + `.play()`)
	v.until("true", low+`.currentTime > 0`)
	v.value(turned(firstKnob, 0))
	v.until("true false", low+`.src.endsWith("sound-low.1.wav") + " " + `+low+`.paused`)
	v.silence("course")
}

// What is kept from one Build to the next makes the same pages; files made of
// different things are never taken for each other.
func TestKept(t *testing.T) {
	in := soundInput(t)
	want := treeOf(t, in)
	var lock sync.Mutex
	files := map[string][]byte{}
	made := 0
	in.Kept = func(of []byte, produce func() ([]byte, error)) ([]byte, error) {
		lock.Lock()
		defer lock.Unlock()
		if file, ok := files[string(of)]; ok {
			return file, nil
		}
		made++
		file, err := produce()
		files[string(of)] = file
		return file, err
	}
	for range 2 {
		if got := treeOf(t, in); got.Sum() != want.Sum() {
			t.Error("the pages are others")
		}
	}
	sounds, fonts := map[string]bool{}, 0
	for name, content := range want {
		switch path.Ext(name) {
		case ".wav":
			sounds[string(content)] = true
		case ".woff":
			fonts++
		}
	}
	if made != len(files) || len(files) < len(sounds)+fonts || len(sounds) < 2 {
		t.Errorf("%d files were made and %d are kept, of %d sounds and %d fonts", made, len(files), len(sounds), fonts)
	}
}
