package preview

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"slipring/render/browser/browsertest"
)

const (
	notes   = `(document.querySelector("rehearse-notice")?.shadowRoot.textContent ?? "")`
	opening = "One idea at a time."
)

// lessonPage is a page as a site might publish it: a strict policy, a script of
// its own that moves a figure with a knob, and enough text to scroll.
func lessonPage(text, data, handles string) []byte {
	code := `
"use strict";
var frames = JSON.parse(document.getElementById("frames").textContent);
var knob = document.getElementById("load"), shown = document.getElementById("shown");
function turn() { shown.textContent = frames[knob.value]; }
knob.addEventListener("input", turn);
turn();
` + handles
	style := "body{font:20px sans-serif} p{margin:20px 0}"
	source := func(s string) string {
		sum := sha256.Sum256([]byte(s))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	var filler strings.Builder
	for i := range 80 {
		fmt.Fprintf(&filler, "<p id=\"p%d\">Paragraph %d of the lesson.</p>\n", i, i)
	}
	return fmt.Appendf(nil, `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src %s; style-src %s">
<title>Lesson</title>
<style>%s</style>
</head>
<body>
<main>
<p id="text">%s</p>
<figure>
<input type="range" id="load" min="0" max="3" value="0"> <input name="note" value="">
<p id="shown"></p>
<script type="application/json" id="frames">%s</script>
</figure>
<details><summary>How this was computed</summary><p>By a cell.</p></details>
%s</main>
<footer>Computed from %x.</footer>
<script>%s</script>
</body>
</html>
`, source(code), source(style), style, text, data, filler.String(), sha256.Sum256([]byte(text+data)), code)
}

// rehearse writes a lesson whose lines are its text and its data, and runs a
// rehearsal of it. Other texts make other pages: see the cases.
func rehearse(t testing.TB, c Config, handles string) (url string, change func(text, data string), end func()) {
	t.Helper()
	dir := t.TempDir()
	name := filepath.Join(dir, "lesson.md")
	change = func(text, data string) {
		t.Helper()
		save(t, name, text+"\n"+data)
	}
	change(opening, `["a","b","c","d"]`)
	made := lessonBuild(name)
	c.Watch = []string{dir}
	c.Rebuild = func(ctx context.Context, changed []string) Build {
		time.Sleep(time.Millisecond)
		b := made(ctx, changed)
		if b.Files == nil {
			return b
		}
		text, data, _ := strings.Cut(string(b.Files["index.html"]), "\n")
		b.Files = map[string][]byte{"index.html": []byte("<title>Start</title>start"), "style.css": []byte("h1{color:" + data + "}")}
		switch text {
		case "gone":
		case "styled":
			b.Files["lesson.html"] = []byte(`<!DOCTYPE html><link rel=stylesheet href=style.css><h1 id=text>` + text + `</h1>`)
		default:
			b.Files["lesson.html"] = lessonPage(text, data, handles)
		}
		return b
	}
	url, end = begin(t, c)
	return url + "lesson.html", change, end
}

// read gives the page a reader: scrolled, a knob turned, a note written, the
// fold opened, and marks that last as long as the document does.
func (p tab) read() {
	p.t.Helper()
	p.do(`(async () => {
		document.getElementById("load").value = 2;
		document.getElementById("load").dispatchEvent(new Event("input", { bubbles: true }));
		document.querySelector("[name=note]").value = "mine";
		document.querySelector("details").open = true;
		window.mark = "same document";
		document.getElementById("load").mark = "same knob";
		await %s;
		scrollTo(0, 1500);
	})()`, frame)
	p.want("c", `document.getElementById("shown").textContent`)
}

// stillRead checks that the reader's choices are there.
func (p tab) stillRead() {
	p.t.Helper()
	p.want("2 mine true", `document.getElementById("load").value + " " + document.querySelector("[name=note]").value + " " + document.querySelector("details").open`)
}

const (
	text  = `document.getElementById("text")?.textContent`
	frame = `new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))`
)

func TestBrowser(t *testing.T) {
	chrome := browsertest.Start(t)

	t.Run("updates in place", func(t *testing.T) {
		url, change, _ := rehearse(t, Config{}, "")
		p := open(t, chrome, url)
		p.until(opening, text)
		p.want("null", `document.querySelector("script[data-rehearse]")`)
		p.read()
		change("Two ideas.", `["a","b","c","d"]`)
		p.until("Two ideas.", text)
		p.do(frame)
		p.want("same document, same knob, c, 1500", `window.mark + ", " + document.getElementById("load").mark + ", " +
			document.getElementById("shown").textContent + ", " + scrollY`)
		p.stillRead()

		// What is read stays in its place when something above it grows.
		// Not every browser sees to that by itself, and this one is told not to.
		p.do(`document.documentElement.style.overflowAnchor = "none"`)
		before := p.do(`document.getElementById("p40").getBoundingClientRect().top`)
		change(strings.Repeat("Many more words above what is read. ", 50), `["a","b","c","d"]`)
		p.until("true", `document.getElementById("text").textContent.length > 100`)
		p.do(frame)
		p.want(before, `document.getElementById("p40").getBoundingClientRect().top`)
		p.want("true same document", `(scrollY > 1600) + " " + window.mark`)
		p.stillRead()
		p.do(`document.documentElement.style.overflowAnchor = "auto"`)
		change("Few words.", `["a","b","c","d"]`)
		p.until("Few words.", text)
		p.do(frame)
		p.want(before+" same document", `document.getElementById("p40").getBoundingClientRect().top + " " + window.mark`)
	})

	t.Run("loads anew when its scripts are concerned", func(t *testing.T) {
		url, change, _ := rehearse(t, Config{}, "")
		p := open(t, chrome, url)
		p.until(opening, text)
		p.read()
		change(opening, `["a","b","new","d"]`)
		p.until("new", `document.getElementById("shown")?.textContent`)
		p.until("1500 undefined", `scrollY + " " + window.mark`)
		p.stillRead()
	})

	t.Run("leaves that to a page that can", func(t *testing.T) {
		url, change, _ := rehearse(t, Config{}, `document.addEventListener("rehearse-changed", function (e) {
			e.preventDefault();
			frames = JSON.parse(document.getElementById("frames").textContent);
			turn();
		});`)
		p := open(t, chrome, url)
		p.until(opening, text)
		p.read()
		change(opening, `["a","b","new","d"]`)
		p.until("new", `document.getElementById("shown")?.textContent`)
		p.do(frame)
		p.want("1500 same document", `scrollY + " " + window.mark`)
		p.stillRead()
	})

	t.Run("shows an error over the last good page", func(t *testing.T) {
		url, change, _ := rehearse(t, Config{}, "")
		p := open(t, chrome, url)
		p.until(opening, text)
		p.read()
		p.want("", notes)
		change(`x`, `broken <img src=x onerror="window.bad=1"></section> &amp;`)
		p.until("true", notes+`.includes("this is broken")`)
		p.want("true true true", `["lesson.md:2:1", 'broken <img src=x onerror="window.bad=1"></section> &amp;', "mend it"].map(s => `+notes+`.includes(s)).join(" ")`)
		p.want("0 undefined alert", `document.querySelector("rehearse-notice").shadowRoot.querySelectorAll("img").length + " " + window.bad + " " +
			document.querySelector("rehearse-notice").shadowRoot.querySelector("section").getAttribute("role")`)
		p.want(opening+" same document 1500", text+` + " " + window.mark + " " + scrollY`)
		// It stands in view, at the foot, and leaves some of the page to see.
		p.want("true", `(r => r.bottom === innerHeight && r.width === document.documentElement.clientWidth && r.top > innerHeight / 4)
			(document.querySelector("rehearse-notice").shadowRoot.querySelector("section").getBoundingClientRect())`)
		// Put aside, it stays away until there is something else to say.
		p.do(`document.querySelector("rehearse-notice").shadowRoot.querySelector("button").click()`)
		p.want("", notes)
		change(`x`, `still broken`)
		p.until("true", notes+`.includes("still broken")`)
		change("Mended.", `["a","b","c","d"]`)
		p.until("Mended.", text)
		p.until("", notes)
		p.want("same document", "window.mark")
		p.stillRead()
	})

	t.Run("says that the page is no longer made", func(t *testing.T) {
		url, change, _ := rehearse(t, Config{}, "")
		p := open(t, chrome, url, "404")
		p.until(opening, text)
		p.read()
		change("gone", "red")
		p.until("true", notes+`.includes("no longer made")`)
		p.want(opening, text)
		change("Back.", `["a","b","c","d"]`)
		p.until("Back.", text)
		p.until("", notes)
		p.want("same document", "window.mark")
		p.stillRead()
	})

	t.Run("a missing page comes to life", func(t *testing.T) {
		url, change, _ := rehearse(t, Config{}, "")
		change("gone", "red")
		for answer, _ := ask(t, "GET", url, nil); answer.StatusCode != 404; answer, _ = ask(t, "GET", url, nil) {
			time.Sleep(time.Millisecond)
		}
		p := open(t, chrome, url, "404")
		p.until("No such page", "document.title")
		change("Here.", `["a","b","c","d"]`)
		p.until("Here.", text)
	})

	t.Run("takes up a changed style sheet", func(t *testing.T) {
		url, change, _ := rehearse(t, Config{}, "")
		change("styled", "rgb(1, 2, 3)")
		p := open(t, chrome, url)
		p.until("rgb(1, 2, 3)", `getComputedStyle(document.getElementById("text") ?? document.body).color`)
		change("styled", "rgb(4, 5, 6)")
		p.until("rgb(4, 5, 6)", `getComputedStyle(document.getElementById("text") ?? document.body).color`)
	})

	t.Run("keeps to the page's policy", func(t *testing.T) {
		url, _, _ := rehearse(t, Config{}, "")
		p := open(t, chrome, url, "Content Security Policy", "Refused", "violates")
		p.until(opening, text)
		p.want("undefined", `(() => {
			var s = document.createElement("script");
			s.textContent = "window.bad = 1";
			document.body.append(s);
			return window.bad;
		})()`)
		p.want("refused", `fetch("http://localhost:1/").then(() => "allowed", () => "refused")`)
		p.want("refused", `new Promise(done => {
			var i = new Image();
			i.onload = () => done("allowed");
			i.onerror = () => done("refused");
			i.src = "data:image/gif;base64,R0lGODlhAQABAAAAACH5BAEKAAEALAAAAAABAAEAAAICTAEAOw==";
		})`)
	})

	t.Run("comes back with the server", func(t *testing.T) {
		url, _, end := rehearse(t, Config{}, "")
		address := strings.TrimSuffix(strings.TrimPrefix(url, "http://"), "/lesson.html")
		p := open(t, chrome, url, "ERR_", "Failed to load")
		p.until(opening, text)
		p.read()
		end()
		p.until("true", notes+`.includes("cannot be reached")`)
		p.want(opening, text)
		_, change, _ := rehearse(t, Config{Address: address}, "")
		p.until("", notes)
		change("Again.", `["a","b","c","d"]`)
		p.until("Again.", text)
		p.want("same document", "window.mark")
	})

	t.Run("lets go when nobody looks", func(t *testing.T) {
		url, change, _ := rehearse(t, Config{Streams: 1}, "")
		p := open(t, chrome, url)
		p.until(opening, text)
		look := func(state string) {
			p.do(`(() => {
				Object.defineProperty(document, "visibilityState", { value: "%s", configurable: true });
				document.dispatchEvent(new Event("visibilitychange"));
			})()`, state)
		}
		change("Seen.", `["a","b","c","d"]`)
		p.until("Seen.", text)
		look("hidden")
		// The only stream is free now, as soon as the server notices.
		base := strings.TrimSuffix(url, "lesson.html")
		s, answer := listen(t, base)
		for answer.StatusCode != 200 {
			time.Sleep(time.Millisecond)
			s, answer = listen(t, base)
		}
		s.next(t)
		change("Unseen.", `["a","b","c","d"]`)
		s.next(t)
		s.body.Close()
		p.want("Seen.", text)
		look("visible")
		p.until("Unseen.", text)
	})
}

// What an author waits for: from the moment a lesson is saved to the moment its
// page has changed, with the default settings and a site that takes 1 ms to
// make. The looks at the files are caught at all phases.
func BenchmarkSaveToPage(b *testing.B) {
	chrome := browsertest.Start(b)
	c := Config{}.defaults()
	url, change, _ := rehearse(b, Config{Poll: c.Poll, Settle: c.Settle}, "")
	p := open(b, chrome, url)
	p.until(opening, text)
	p.do(`(() => {
		new MutationObserver(() => { window.seen = performance.timeOrigin + performance.now(); })
			.observe(document.getElementById("text"), { childList: true, characterData: true, subtree: true });
	})()`)
	var took []float64
	for i := 0; b.Loop(); i++ {
		time.Sleep(time.Duration(200+i*37%101) * time.Millisecond)
		words := fmt.Sprintf("Words number %d.", i)
		saved := time.Now()
		change(words, `["a","b","c","d"]`)
		p.until(words, text)
		seen, err := strconv.ParseFloat(p.do("window.seen"), 64)
		if err != nil {
			b.Fatal(err)
		}
		took = append(took, seen-float64(saved.UnixMicro())/1000)
	}
	slices.Sort(took)
	b.ReportMetric(took[len(took)/2], "ms-median")
	b.ReportMetric(took[len(took)-1], "ms-longest")
}
