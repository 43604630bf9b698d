package site

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"html/template"
	"slices"
	"strings"

	"slipring/engine/card"
	"slipring/engine/machine"
	"slipring/render/page"
	ui "slipring/render/words"
)

//go:embed web/*.html web/*.css web/*.js
var web embed.FS

// templates holds the templates of all pages by name, each with the shell around
// it.
type templates map[string]*template.Template

func readTemplates() (templates, error) {
	t := templates{}
	var names []string
	for _, o := range overviews() {
		names = append(names, o.template)
	}
	for _, r := range readers() {
		names = append(names, r.template)
	}
	for _, name := range names {
		if t[name] != nil {
			continue
		}
		parsed, err := template.New("shell.html").Funcs(template.FuncMap{"tag": ui.Tag}).ParseFS(web, "web/shell.html", "web/lists.html", "web/kiosk-ask.html", "web/"+name+".html")
		if err != nil {
			return nil, err
		}
		t[name] = parsed
	}
	return t, nil
}

// shell is what all pages have around what is theirs.
type shell struct {
	House    card.House
	Lang     string
	Title    string // of the browser's window
	About    string // what the page holds, in a sentence for who has not opened it; its kind's where it is empty
	Class    string // of the body
	Root     string // from the page to the top of the site: "", "../" and so on
	Features []page.Feature
	Styles   []string
	Scripts  []string
	Policy   string // content security policy
	From     provenance
	Paper    bool         // made to be printed
	Kiosk    bool         // leads nowhere but to the kiosk's own
	Of       *lessonPages // whose page it is, nil for a page about all lessons
	Page     any

	Words    *ui.Words
	Versions []version // the page's languages, where it has several
	edition  *edition
	path     string
	main     *ui.Words               // of the house's first language
	foreign  func(words string) bool // words of the house that the page's language has not got
}

// provenance says what the numbers of a page were computed from.
type provenance struct {
	Cards    []machine.Card
	Version  string
	Digest   string // in short; "" for a page that shows nothing of the lessons
	Several  bool   // the digest is of several lessons
	Invented bool
}

// write makes a page of a kind and adds it at a path.
func (b *builder) write(path string, k kind, s shell) {
	s.House, s.foreign = b.House.Say(b.words.Language())
	s.Words, s.edition, s.Lang = b.words, b.edition, b.words.Language()
	s.Versions = b.versions(path, s.Of)
	path = b.path(path)
	s.path, s.main = path, b.editions[0].words
	s.Root = strings.Repeat("../", strings.Count(path, "/"))
	s.Paper, s.Kiosk = k.paper, k.kiosk
	s.Class, _, _ = strings.Cut(k.template, "-")
	hall := s.Class
	if k.kiosk && s.House.Hall == "light" {
		hall += " light"
	}
	s.Features = slices.Concat(s.Features, k.features)
	if s.About == "" {
		s.About = b.words.Text(k.about)
	}
	if len(b.Scene.Parts) == 0 {
		s.Features = slices.DeleteFunc(s.Features, func(f page.Feature) bool { return f == page.WholeSet })
	}
	s.Styles = []string{"common", s.Class}
	s.Class = hall
	if s.Kiosk {
		s.Styles = append(s.Styles, sizesName)
	}
	s.load()
	for _, name := range s.Styles {
		b.used[name+".css"] = true
	}
	for _, name := range s.Scripts {
		b.used[name+".js"] = true
	}
	var out bytes.Buffer
	if err := b.templates[k.template].Execute(&out, s); err != nil {
		b.fail(fmt.Errorf("%s: %w", path, err))
		return
	}
	b.add(path, out.Bytes())
}

// title of a window: the most particular first
func (b *builder) title(parts ...string) string {
	return strings.Join(append(parts, b.houseName()), " \u2013 ")
}

// from gives the provenance of a page about some lessons.
func (b *builder) from(lessons ...*lessonPages) provenance {
	p := provenance{Version: b.Version, Several: len(lessons) != 1}
	var digests []string
	for _, e := range lessons {
		digests = append(digests, e.digest)
		for _, c := range e.Opened() {
			if !slices.ContainsFunc(p.Cards, func(had machine.Card) bool { return had.Name == c.Name }) {
				p.Cards = append(p.Cards, c)
			}
			p.Invented = p.Invented || c.Invented
		}
	}
	if len(digests) == 0 {
		return p
	}
	whole := digest([]byte(strings.Join(digests, "\n")))
	if len(digests) == 1 {
		whole = digests[0]
	}
	p.Digest = whole[:12]
	return p
}

// digest gives the SHA-256 of a lesson's file.
func digest(source []byte) string {
	sum := sha256.Sum256(source)
	return hex.EncodeToString(sum[:])
}

// startTitle is the house's name, with the language where it is not the first.
func (b *builder) startTitle() string {
	if b.first {
		return b.houseName()
	}
	return b.title(b.words.Name())
}

// Link gives a link to a page at its path.
func (s shell) Link(to string) string { return relative(s.path, to) }

// To gives a link to a page in the language of this one.
func (s shell) To(name string) string { return relative(s.path, s.edition.path(name)) }

// Foreign says whether a lesson is not in the language of the page.
func (s shell) Foreign(e *lessonPages) bool { return !s.edition.own(e) }

// Notices gives the cautions of a lesson in short, in the words of the page.
func (s shell) Notices(e *lessonPages) []page.Notice {
	return page.Notices(e.Lesson, s.House.Hazards, s.Words)
}

// Accidents says what to do first after an accident: with the hazards of the
// lesson whose page it is, or with all that the house describes.
func (s shell) Accidents() []page.Notice {
	if s.Of != nil {
		return s.Notices(s.Of)
	}
	var all []page.Notice
	for _, h := range s.House.Hazards {
		all = append(all, page.NoticeOf(h, s.Words))
	}
	return all
}

// Date writes a date in words.
func (s shell) Date(date string) template.HTML {
	return template.HTML(fmt.Sprintf(`<time datetime="%s">%s</time>`, template.HTMLEscapeString(date), template.HTMLEscapeString(s.Words.Date(date))))
}

// Origin says what the numbers of the page were computed from.
func (s shell) Origin() template.HTML {
	w, from := s.Words, s.From
	var cards []string
	for _, c := range from.Cards {
		one := template.HTML("<b>" + template.HTMLEscapeString(c.Name) + "</b>")
		if c.Revised != "" {
			one = w.HTML("source.card", "card", one, "date", s.Date(c.Revised))
		}
		cards = append(cards, string(one))
	}
	what := w.HTML("source.model", "version", from.Version)
	if len(cards) > 0 {
		what = w.HTML("source.cards", "n", len(cards), "cards", template.HTML(strings.Join(cards, ", ")), "version", from.Version)
	}
	if from.Digest == "" {
		return what + "."
	}
	digest := template.HTML("<code>" + from.Digest + "</code>")
	if from.Several {
		return w.HTML("source.lessons", "source", what, "digest", digest)
	}
	return w.HTML("source.lesson", "source", what, "digest", digest)
}

// Takes says whether the page is a sheet that visitors take home.
func (s shell) Takes() bool {
	sheet, ok := s.Page.(handoutPage)
	return ok && !sheet.Guide
}

// OriginShort says it for visitors; the rest is a touch away, or in the course.
func (s shell) OriginShort() template.HTML {
	var cards []string
	for _, c := range s.From.Cards {
		cards = append(cards, "<b>"+template.HTMLEscapeString(c.Name)+"</b>")
	}
	if len(cards) == 0 {
		return s.Words.HTML("source.model", "version", s.From.Version)
	}
	return s.Words.HTML("source.short", "n", len(cards), "cards", template.HTML(strings.Join(cards, ", ")))
}

func (s shell) lessonLink(e *lessonPages) template.HTML {
	mark := ui.Tag("a", "href", s.Link(e.Path("course")))
	if s.Foreign(e) {
		mark = ui.Tag("a", "href", s.Link(e.Path("course")), "hreflang", e.Language(), "lang", e.Language())
	}
	return mark.Open + template.HTML(template.HTMLEscapeString(e.Lesson.Title)) + mark.Close
}
