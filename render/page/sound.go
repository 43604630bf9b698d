package page

import (
	"slices"

	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// sound prints something to be heard, with the browser's own controls, so that
// it works without a script. Its caption says what one hears, and is all that
// paper has of it. Nothing sounds by itself.
func (r *reader) sound(n *lesson.Node, s tell.Sound) {
	r.shownKnobs(s.Framed, n)
	if r.turning == nil {
		r.line()
		r.putf("<p class=\"heard\"><strong>%s</strong> ", escape(r.ui.Text("sound.paper")))
		r.nodes(n.Children, false)
		r.put("</p>\n")
		return
	}
	r.sounds = true
	id := r.id("sound." + n.Name)
	r.soundFollows(s, id)
	r.line()
	r.putf("<figure class=\"sound\">\n<audio controls preload=\"none\" id=\"%s\" aria-labelledby=\"%s.caption\" src=\"%s\"", escape(id), escape(id), escape(r.soundFile(s, r.startOf(s))))
	if r.autoplay { // the kiosk, where a button of its own is made for thumbs
		r.putf(" data-play=\"%s\" data-stop=\"%s\"", escape(r.ui.Text("sound.play")), escape(r.ui.Text("sound.stop")))
	}
	r.putf("></audio>\n<figcaption id=\"%s.caption\">", escape(id))
	r.nodes(n.Children, false)
	r.put("</figcaption>\n</figure>\n")
}

// shownKnobs prints the knobs of something, but for those that a figure right
// before it already shows: they are turned together.
func (r *reader) shownKnobs(f tell.Framed, n *lesson.Node) {
	before, _ := beside(r.source.Lesson.Body, n)
	if before != nil && before.Kind == lesson.Embed && slices.Equal(r.framed(before).Knobs, f.Knobs) {
		return
	}
	r.knobs(f)
}

// framed gives the knobs of what is placed.
func (r *reader) framed(n *lesson.Node) tell.Framed {
	result := r.source.Result
	switch n.EmbedKind {
	case "figure":
		for _, f := range result.Figures {
			if f.Name == n.Name {
				return f.Framed
			}
		}
	case "table":
		for _, t := range result.Tables {
			if t.Name == n.Name {
				return t.Framed
			}
		}
	case "sound":
		for _, s := range result.Sounds {
			if s.Name == n.Name {
				return s.Framed
			}
		}
	}
	return tell.Framed{}
}

// startOf gives the frame in which all knobs of a sound stand at their start.
func (r *reader) startOf(s tell.Sound) int {
	at := 0
	for _, k := range s.Under(r.source.Result.Knobs) {
		at = at*len(k.Positions) + k.Start
	}
	return at
}

func (r *reader) soundFile(s tell.Sound, frame int) string {
	if r.links.Sound == nil {
		return ""
	}
	return r.links.Sound(s.Name, frame)
}

// soundFollows notes the file of each position of its knobs.
func (r *reader) soundFollows(s tell.Sound, id string) {
	if len(s.Framed.Knobs) == 0 {
		return
	}
	t := turningSound{By: r.by(s.Framed), In: []string{id}}
	for i := range s.Frames {
		t.File = append(t.File, r.soundFile(s, i))
	}
	r.turning.Sounds = append(r.turning.Sounds, &t)
}
