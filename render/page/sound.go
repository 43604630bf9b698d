package page

import (
	"slices"

	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
)

// sound prints something to be heard, with the browser's own controls, so that
// it works without a script. Its caption says what one hears, and is all that
// paper has of it. Nothing sounds by itself.
func (p *printer) sound(n *lesson.Node, s tell.Sound) {
	p.shownKnobs(s.Framed, n)
	if p.turning == nil {
		p.line()
		p.putf("<p class=\"heard\"><strong>%s</strong> ", escape(p.ui.Text("sound.paper")))
		p.nodes(n.Children, false)
		p.put("</p>\n")
		return
	}
	p.has(Sounds)
	id := p.id("sound." + n.Name)
	p.soundFollows(s, id)
	p.line()
	p.putf("<figure class=\"sound\">\n<audio controls preload=\"none\" id=\"%s\" aria-labelledby=\"%s.caption\" src=\"%s\"", escape(id), escape(id), escape(p.soundFile(s, p.startOf(s))))
	if p.autoplay { // the kiosk, where a button of its own is made for thumbs
		p.putf(" data-play=\"%s\" data-stop=\"%s\"", escape(p.ui.Text("sound.play")), escape(p.ui.Text("sound.stop")))
	}
	p.putf("></audio>\n<figcaption id=\"%s.caption\">", escape(id))
	p.nodes(n.Children, false)
	p.put("</figcaption>\n</figure>\n")
}

// shownKnobs prints the knobs of something, but for those that a figure right
// before it already shows: they are turned together.
func (p *printer) shownKnobs(f tell.Framed, n *lesson.Node) {
	before, _ := beside(p.in.Lesson.Body, n)
	if before != nil && before.Kind == lesson.Embed && slices.Equal(p.framed(before).Knobs, f.Knobs) {
		return
	}
	p.knobs(f)
}

// framed gives the knobs of what is placed.
func (p *printer) framed(n *lesson.Node) tell.Framed {
	one, _ := proof.Placed(n, p.shown)
	return one.Framed
}

// startOf gives the frame in which all knobs of a sound stand at their start.
func (p *printer) startOf(s tell.Sound) int {
	at := 0
	for _, k := range s.Under(p.in.Result.Knobs) {
		at = at*len(k.Positions) + k.Start
	}
	return at
}

func (p *printer) soundFile(s tell.Sound, frame int) string {
	if p.links.Sound == nil {
		return ""
	}
	return p.links.Sound(s.Name, frame)
}

// soundFollows notes the file of each position of its knobs.
func (p *printer) soundFollows(s tell.Sound, id string) {
	if len(s.Framed.Knobs) == 0 {
		return
	}
	t := turningSound{By: p.by(s.Framed), In: []string{id}}
	for i := range s.Frames {
		t.File = append(t.File, p.soundFile(s, i))
	}
	p.turning.Sounds = append(p.turning.Sounds, &t)
}
