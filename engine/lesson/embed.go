package lesson

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/diag"
)

// EmbedKind is a kind of what a cell tells and a lesson places, as in
// ![alternative text](figure:name).
type EmbedKind struct {
	Name  string
	Says  string // what its alternative text says
	Tell  string // what an author does who has told none
	Heard bool   // rather than seen
}

// Kinds of what is placed, by Name.
const (
	Figure = "figure"
	Table  = "table"
	Motion = "motion"
	Board  = "board"
	Sound  = "sound"
	Finder = "finder"

	Schematic = "schematic"
	Strips    = "strips"

	Picture = "picture" // a file beside an entry of the logbook, and in no lesson
)

var embedKinds = [...]EmbedKind{
	{Name: Figure, Says: "what it shows", Tell: "tell one with tell.Chart or tell.Draw"},
	{Name: Table, Says: "what it shows", Tell: `tell one with tell.List, or name a CSV file beside the lesson in its lesson block: data = ["readings.csv"]`},
	{Name: Motion, Says: "what it shows", Tell: "tell one with tell.Motion"},
	{Name: Board, Says: "what it shows", Tell: "tell one with tell.Board"},
	{Name: Sound, Says: "what one hears", Tell: "tell one with tell.Tone or tell.Sound", Heard: true},
	{Name: Finder, Says: "what it finds", Tell: "tell one with tell.Finder"},
	{Name: Schematic, Says: "what it shows", Tell: "tell one with tell.Schematic"},
	{Name: Strips, Says: "what it shows", Tell: "tell them with tell.Strips"},
}

// EmbedKinds lists the names of the kinds.
func EmbedKinds() []string {
	var names []string
	for _, k := range embedKinds {
		names = append(names, k.Name)
	}
	return names
}

// EmbedKindOf gives the kind of a name.
func EmbedKindOf(name string) EmbedKind {
	for _, k := range embedKinds {
		if k.Name == name {
			return k
		}
	}
	return EmbedKind{Name: name}
}

// embed turns a paragraph that holds nothing but one embed into that embed.
// All other images are errors.
func (c *converter) embed(p *Node) {
	if len(p.Children) == 1 && p.Children[0].Kind == Image {
		image := p.Children[0]
		kind, name, _ := strings.Cut(image.Destination, ":")
		if name != "" && (slices.Contains(EmbedKinds(), kind) || kind == Picture && c.pictures) {
			p.Kind, p.EmbedKind, p.Name, p.Title = Embed, kind, name, image.Title
			p.Children = image.Children
			if kind != Picture {
				c.inserts(p)
			}
			c.alternative(image)
			return
		}
	}
	c.images(p)
}

// images reports every image below n as one that cannot stand there.
func (c *converter) images(n *Node) {
	if c.plain {
		return
	}
	n.Walk(func(n *Node) bool {
		if n.Kind != Image {
			return true
		}
		at := n.Offset - c.base
		kind, name, ok := strings.Cut(n.Destination, ":")
		switch {
		case c.pictures:
			c.say(at, "image-file", fmt.Sprintf("%q is no picture that an entry can show", n.Destination),
				"put the file beside the entry, and write ![what it shows](picture:leaf.png) as a paragraph of its own")
		case !ok:
			c.say(at, "image-file", fmt.Sprintf("a picture from a file, %q, cannot be shown", n.Destination),
				"only what a cell told can be placed, with ![what it shows](figure:name)")
		case !slices.Contains(EmbedKinds(), kind):
			hint := "only what a cell told can be placed, with ![what it shows](figure:name)"
			if near := diag.Nearest(kind, EmbedKinds()); near != "" {
				hint = fmt.Sprintf("did you mean %q?", near+":"+name)
			}
			c.say(at, "image-file", fmt.Sprintf("a picture from elsewhere, %q, cannot be shown", n.Destination), hint)
		case name == "":
			c.say(at, "embed-name", fmt.Sprintf("%q does not say which %s", n.Destination, kind),
				fmt.Sprintf("write the name that the cell told, as in ![what it shows](%s:name)", kind))
		default:
			c.say(at, "embed-alone", fmt.Sprintf("%q has to stand in a paragraph of its own", n.Destination),
				"put an empty line before and after it")
		}
		return false
	})
}

// alternative reports what alternative text cannot hold.
func (c *converter) alternative(image *Node) {
	for _, child := range image.Children {
		child.Walk(func(n *Node) bool {
			switch n.Kind {
			case Bound:
				c.say(n.Offset-c.base, "quote-in-alternative",
					fmt.Sprintf("alternative text cannot hold a quote (%s)", n.Name),
					fmt.Sprintf("write it in braces, name first: {%s %s}", n.Name, strings.Join(strings.Fields(string(c.source[n.Offset-c.base:n.End-c.base])), " ")))
			case Formula:
				c.say(n.Offset-c.base, "quote-in-alternative", "alternative text cannot hold a formula",
					"say it in words, or put it into the sentence before or after the picture")
			}
			return true
		})
	}
}

// schemes lists what the destination of a link may begin with.
var schemes = [...]string{"http", "https", "mailto", "tel"}

// destination refuses links that would run a program or open a file.
func (c *converter) destination(link *Node) {
	if c.plain {
		return
	}
	// A browser takes no notice of blanks in a scheme, so neither do we.
	bare := strings.Map(func(r rune) rune {
		if r <= ' ' {
			return -1
		}
		return r
	}, strings.NewReplacer("%09", "", "%0A", "", "%0D", "", "%20", "").Replace(link.Destination))
	scheme, rest, ok := strings.Cut(bare, ":")
	if !ok || strings.ContainsAny(scheme, "/?#") {
		return
	}
	if slices.Contains(schemes[:], strings.ToLower(scheme)) {
		// Browsers find the host behind any number of slashes, or none.
		host := strings.TrimLeft(rest, "/")
		if end := strings.IndexAny(host, "/?#"); end >= 0 {
			host = host[:end]
		}
		if strings.HasPrefix(strings.ToLower(scheme), "http") && strings.Contains(host, "@") {
			c.say(link.Offset-c.base, "link-destination", fmt.Sprintf("a link cannot carry a name or a password, as %q does", link.Destination),
				"leave out what stands before the @, and the @")
		}
		return
	}
	hint := "link to http, https, mailto or tel, or to a heading of this lesson with #its-words"
	if slices.Contains(EmbedKinds(), scheme) {
		hint = fmt.Sprintf("to place it, write an exclamation mark in front: ![what it shows](%s:%s)", scheme, rest)
	}
	c.say(link.Offset-c.base, "link-destination", fmt.Sprintf("a link cannot lead to %q", link.Destination), hint)
}
