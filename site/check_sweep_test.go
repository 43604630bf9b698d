package site

import (
	"context"
	"encoding/json"
	"errors"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"slipring/engine/sweeptest"
)

// sizesOf gives the windows that a page is looked at in, in px: a kiosk's
// screen either way up; a desk and a telephone.
func sizesOf(page string) [2][2]int64 {
	if strings.HasPrefix(page, "kiosk/") {
		return [2][2]int64{{1920, 1080}, {1080, 1920}}
	}
	return [2][2]int64{{1280, 800}, {390, 844}}
}

// languageOf gives the language of a page by its path.
func languageOf(page string) string {
	base := strings.TrimSuffix(path.Base(page), ".html")
	if ext := path.Ext(base); len(ext) == 3 {
		return ext[1:]
	}
	if len(base) == 2 {
		return base
	}
	return "en"
}

// each shows the screens of a kiosk's page one after the other, then its
// question whether somebody is there; any other page is looked at once.
func (v *visit) each(page string, look func(where string)) {
	v.t.Helper()
	const ids = `[...document.querySelectorAll(".screen[id]")].map(s => s.id).join(" ")`
	screens := strings.Fields(v.value(ids))
	if len(screens) == 0 {
		look(page)
		return
	}
	for _, id := range screens {
		v.value(`location.hash = "#` + id + `", new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(0))))`)
		v.value(ended)
		v.want(id, `[...document.querySelectorAll(".screen")].filter(s => s.offsetHeight > 0).map(s => s.id).join(" ")`)
		look(page + "#" + id)
	}
	if v.value(`document.querySelectorAll("dialog.ask").length`) == "1" {
		v.value(`document.querySelector("dialog.ask").showModal(), ` + ended)
		look(page + ", asking")
		v.value(`document.querySelector("dialog.ask").close()`)
	}
}

// ended ends what fades in, whose colours would be those of a moment.
const ended = `document.getAnimations().filter(a => a.effect.getComputedTiming().endTime < Infinity).forEach(a => a.finish())`

// hold fails for each complaint that a function of sweep.js has.
func (v *visit) hold(where, call string) {
	v.t.Helper()
	var complaints []string
	got := v.value(`(async () => JSON.stringify(await sweep.` + call + `))()`)
	if err := json.Unmarshal([]byte(got), &complaints); err != nil {
		v.t.Fatalf("%s: %s gives %q: %v", where, call, got, err)
	}
	for _, c := range complaints {
		v.t.Errorf("%s: %s", where, c)
	}
}

// checkSweep looks at pages as different readers do.
func checkSweep(t *testing.T, dir string, pages []string) {
	content, err := os.ReadFile(filepath.Join("testdata", "sweep.js"))
	if err != nil {
		t.Fatal(err)
	}
	v := visitOf(t, dir)
	s := sweep{visit: v, script: string(content), cautions: map[string]int{}}
	for _, page := range pages {
		v.run(page, func() {
			s.asUsual(page)
			s.withoutScripts(page)
			s.withoutMotion(page)
		})
	}
	t.Logf("%d pages and screens, %d controls reached", s.looks, s.keys)
	if s.keys < 6*len(pages) || s.looks < len(pages) {
		t.Errorf("only %d keys were pressed on %d pages and screens", s.keys, s.looks)
	}
}

type sweep struct {
	*visit
	script      string
	cautions    map[string]int // of each lesson
	looks, keys int
}

// load opens a page, with what looks at it.
func (s *sweep) load(page string) {
	s.t.Helper()
	sizes := sizesOf(page)
	s.asked()
	s.open(page, sizes[0][0], sizes[0][1])
	s.do(chromedp.Evaluate[chromedp.Void](s.script + ";0"))
}

// asUsual: what everybody sees, at each size, with the text twice as large, on
// paper and by keyboard.
func (s *sweep) asUsual(page string) {
	defer s.stopClock()() // a kiosk's question whether somebody is there ends while a busy machine still looks
	sizes, kiosk := sizesOf(page), strings.HasPrefix(page, "kiosk/")
	s.load(page)
	s.value(`sweep.settled()`)
	s.each(page, func(where string) {
		s.looks++
		s.hold(where, `about("`+languageOf(page)+`", `+strconv.FormatBool(kiosk)+`)`)
		for _, size := range sizes {
			s.size(size[0], size[1])
			s.hold(where+" at "+strconv.FormatInt(size[0], 10)+" px", "fits()")
		}
		s.size(sizes[0][0], sizes[0][1])
		s.media("media", "print")
		s.hold(where+" on paper", "printed("+strconv.Itoa(s.cautionsOf(page))+")")
		s.media()
		s.tab(where)
	})
	for _, sent := range s.asked() {
		u, err := url.Parse(sent)
		if sent == "about:blank" || err == nil && u.Scheme == "data" {
			continue
		}
		if err != nil || u.Scheme != "file" || !strings.HasPrefix(u.Path, filepath.ToSlash(s.dir)+"/") {
			s.t.Errorf("%s asks for %s", page, sent)
		}
	}
}

// cautionsOf counts the cautions of a lesson, which all its pages have in full:
// those of its course page.
func (s *sweep) cautionsOf(page string) int {
	parts := strings.Split(page, "/")
	if len(parts) < 2 {
		return 0
	}
	slug, _, _ := strings.Cut(strings.TrimSuffix(parts[1], "-guide.html"), ".")
	slug = strings.TrimSuffix(slug, "-guide")
	if n, ok := s.cautions[slug]; ok {
		return n
	}
	content, err := os.ReadFile(filepath.Join(s.dir, "course", slug, "index.html"))
	if err == nil {
		s.cautions[slug] = strings.Count(string(content), `class="notice`)
	}
	return s.cautions[slug]
}

// tab presses the Tab key until everything was reached.
func (s *sweep) tab(where string) {
	s.t.Helper()
	n, err := strconv.Atoi(s.value(`sweep.keys()`))
	if err != nil {
		s.t.Fatal(err)
	}
	s.keys += n
	// What scrolls by itself is reached as well.
	n += 3 + n/4
	press := chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchKeyEvent, input.DispatchKeyEventParams{
			Type: input.DispatchKeyEventTypeRawKeyDown, Key: "Tab", Code: "Tab", WindowsVirtualKeyCode: 9,
		})
		return err
	})
	// All presses are the same, so that none has to wait for the one before.
	ctx, cancel := context.WithTimeout(s.ctx, sweeptest.Patience)
	defer cancel()
	failed := make(chan error)
	for range n {
		go func() { failed <- chromedp.Do(ctx, press) }()
	}
	for range n {
		err = errors.Join(err, <-failed)
	}
	if err != nil {
		s.t.Fatal(err)
	}
	s.hold(where+" by keyboard", "missed()")
}

// withoutScripts: the text and the plots are all there.
func (s *sweep) withoutScripts(page string) {
	s.scripts(false)
	defer s.scripts(true)
	s.load(page)
	var complaints []string
	if err := json.Unmarshal([]byte(s.still(`JSON.stringify(sweep.bare().concat(sweep.wide()))`)), &complaints); err != nil {
		s.t.Fatal(err)
	}
	for _, c := range complaints {
		s.t.Errorf("%s without scripts: %s", page, c)
	}
}

// withoutMotion: nothing moves by itself for those who asked for that.
func (s *sweep) withoutMotion(page string) {
	content, err := os.ReadFile(filepath.Join(s.dir, filepath.FromSlash(page)))
	if err != nil {
		s.t.Fatal(err)
	}
	if !strings.Contains(string(content), "<script") {
		return // what style sheets move is the same in all of a kind
	}
	s.media("prefers-reduced-motion", "reduce")
	defer s.media()
	s.load(page)
	s.value(`sweep.settled()`)
	s.hold(page+" without motion", "moves(250)")
}
