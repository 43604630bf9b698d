package card

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slipring/engine/diag"
)

// ReadScene reads the scene, usually scene.toml; materials are what parts can
// be made of. It may be used only when none of the messages is an error.
func ReadScene(name string, source []byte, shapes []Shape, materials []string) (Scene, []diag.Message) {
	s := Scene{File: name}
	f, ok := parse(name, source, format{family: "scene", nested: true, topped: true, form: `a part is written [LABEL] and below it draws = "box" and at = [100, 100]`})
	if !ok {
		return s, f.messages
	}
	r := sceneReader{f, &s, shapes, materials}
	r.sheet()
	for _, sec := range f.sections[1:] {
		if strings.Count(sec.name, ".") > 1 {
			continue // has been reported
		}
		// A part may have a name as short as that of a language.
		if slices.ContainsFunc(sec.fields, func(d field) bool { return d.key == "draws" }) && !strings.Contains(sec.name, ".") {
			r.part(sec)
			continue
		}
		label, language, translated := f.divide(sec)
		switch {
		case !translated:
			r.part(sec)
		case language == "": // has been reported
		default:
			r.translated(sec, label, language)
		}
	}
	if len(s.Parts) == 0 && !diag.HasError(f.messages) {
		f.add(0, "missing", "the scene has no part", f.form)
	}
	r.number()
	return s, diag.Sort(f.messages)
}

type sceneReader struct {
	*file
	scene     *Scene
	shapes    []Shape
	materials []string
}

// sheet reads what stands above all parts.
func (r sceneReader) sheet() {
	what := "the scene"
	top := r.sections[0]
	places := map[string]any{"title": &r.scene.Title, "width": &r.scene.Width, "height": &r.scene.Height}
	rest := top
	rest.fields = nil
	for _, d := range top.fields {
		if d.key == "whole" {
			r.scene.Whole = r.lessons(d, what)
			continue
		}
		rest.fields = append(rest.fields, d)
	}
	got := r.fields(rest, what, []string{"title", "width", "height", "whole"}, places)
	for _, key := range []string{"title", "width", "height"} {
		d, ok := got[key]
		if !ok {
			if !slices.ContainsFunc(top.fields, func(d field) bool { return d.key == key }) {
				r.add(0, "missing", fmt.Sprintf("the scene has no %s", key), "write above the first heading: "+map[string]string{
					"title": `title = "..."`, "width": "width = 1200", "height": "height = 900"}[key])
			}
			continue
		}
		if x := d.value.number; key != "title" && (x < leastSheet || x > mostSheet) {
			r.add(d.value.offset, "value", fmt.Sprintf("a sheet cannot have a %s of %v", key, x), fmt.Sprintf("give a number from %d to %d", leastSheet, mostSheet))
			*places[key].(*float64) = 0 // parts are not held against it
		}
	}
}

// fields reads keys into their places: what fill does, and numbers, truths and
// lists of numbers.
func (r sceneReader) fields(s section, what string, keys []string, places map[string]any) map[string]field {
	got := map[string]field{}
	rest := s
	rest.fields = nil
	for _, d := range s.fields {
		switch to := places[d.key].(type) {
		case *float64:
			if r.want(d, number) && r.finite(d) {
				*to, got[d.key] = d.value.number, d
			}
		case *bool:
			if r.want(d, truth) {
				*to, got[d.key] = d.value.truth, d
			}
		case *[]float64:
			if r.want(d, list) {
				if pair, ok := r.pair2(d, d.value); ok {
					*to, got[d.key] = pair[:], d
				}
			}
		default:
			rest.fields = append(rest.fields, d)
		}
	}
	for key, d := range r.fill(rest, what, keys, func(key string) any { return places[key] }) {
		got[key] = d
	}
	return got
}

func (r sceneReader) finite(d field) bool {
	if x := d.value.number; math.IsNaN(x) || math.Abs(x) > mostSheet {
		r.add(d.value.offset, "value", fmt.Sprintf("%s is %v, which no sheet has room for", d.key, x), fmt.Sprintf("give a number up to %d", mostSheet))
		return false
	}
	return true
}

// pair2 reads two numbers: how far from the left, and how far from the top.
func (r sceneReader) pair2(d field, v value) (pair [2]float64, ok bool) {
	if v.kind != list || len(v.items) != 2 || v.items[0].kind != number || v.items[1].kind != number {
		r.add(v.offset, "value", fmt.Sprintf("%s is not a place", d.key), fmt.Sprintf("a place is two numbers, from the left and from the top: %s = [120, 300]", d.key))
		return pair, false
	}
	pair = [2]float64{v.items[0].number, v.items[1].number}
	for _, x := range pair {
		if !r.finite(field{key: d.key, offset: d.offset, value: value{kind: number, offset: v.offset, number: x}}) {
			return pair, false
		}
	}
	return pair, true
}

// places reads one place, or a list of them.
func (r sceneReader) places(d field) (at [][2]float64) {
	if !r.want(d, list) {
		return nil
	}
	if len(d.value.items) == 0 || d.value.items[0].kind != list {
		if one, ok := r.pair2(d, d.value); ok {
			return [][2]float64{one}
		}
		return nil
	}
	if len(d.value.items) > mostPlaces {
		r.add(d.value.offset, "limit", fmt.Sprintf("one part has more than %d places", mostPlaces), "make two parts of it")
		return nil
	}
	for _, item := range d.value.items {
		one, ok := r.pair2(d, item)
		if !ok {
			return nil
		}
		at = append(at, one)
	}
	return at
}

// part reads one part.
func (r sceneReader) part(s section) {
	what := fmt.Sprintf("the part %q", s.name)
	r.label(s, s.name)
	if len(r.scene.Parts) == mostParts {
		r.overfull(s.offset, "parts", mostParts)
		return
	}
	p := ScenePart{Label: s.name}
	p.Line, p.Column = r.place(s.offset)
	shape := r.shape(s, what, &p)
	var at, lessons *field
	rest := s
	rest.fields = nil
	for _, d := range s.fields {
		switch d.key {
		case "draws":
		case "at":
			at = &d
		case "lessons":
			lessons = &d
		default:
			rest.fields = append(rest.fields, d)
		}
	}
	keys := []string{"draws", "at", "width", "height", "of", "gone", "lit", "mark", "name", "lessons"}
	into := map[string]any{"width": &p.Width, "height": &p.Height, "of": &p.Of, "gone": &p.Gone, "lit": &p.Lit, "mark": &p.Mark, "name": &p.Name}
	if shape.Counts != "" {
		keys = append(keys, shape.Counts)
		into[shape.Counts] = &p.Count
	}
	got := r.fields(rest, what, keys, into)
	r.sizes(shape, &p, got)
	switch {
	case at == nil:
		r.add(s.offset, "missing", what+" has no at", "write where its middle stands, from the left and from the top: at = [120, 300]")
	default:
		p.At = r.places(*at)
		r.inside(shape, p, at.offset)
		if d, said := got["mark"]; said && r.scene.Width > 0 && r.scene.Height > 0 && (min(p.Mark[0], p.Mark[1]) < 0 || p.Mark[0] > r.scene.Width || p.Mark[1] > r.scene.Height) {
			r.add(d.offset, "outside", fmt.Sprintf("the number of the part %q lies outside of the sheet", p.Label), fmt.Sprintf("the sheet is %v wide and %v high; move the mark", r.scene.Width, r.scene.Height))
		}
	}
	if lessons != nil {
		p.Lessons = r.lessons(*lessons, what)
		if p.Name == "" && !slices.ContainsFunc(s.fields, func(d field) bool { return d.key == "name" }) {
			r.add(lessons.offset, "missing", what+" leads to a lesson, but has no name", `write how the key and those who listen are to call it: name = "..."`)
		}
	}
	r.scene.Parts = append(r.scene.Parts, p)
}

// shape finds what a part draws.
func (r sceneReader) shape(s section, what string, p *ScenePart) Shape {
	var known []string
	for _, x := range r.shapes {
		known = append(known, x.Name)
	}
	at := slices.IndexFunc(s.fields, func(d field) bool { return d.key == "draws" })
	if at < 0 {
		r.add(s.offset, "missing", what+" does not say what it draws", "write draws = with one of: "+strings.Join(known, ", "))
		return Shape{}
	}
	d := s.fields[at]
	if !r.want(d, text) {
		return Shape{}
	}
	p.Draws = d.value.text
	if i := slices.Index(known, p.Draws); i >= 0 {
		return r.shapes[i]
	}
	r.add(d.value.offset, "shape", fmt.Sprintf("there is no shape %q to draw", p.Draws), hintNear(p.Draws, known, "shapes are: "+strings.Join(known, ", ")))
	return Shape{}
}

// sizes checks the sizes of a part and fills in the usual ones.
func (r sceneReader) sizes(shape Shape, p *ScenePart, got map[string]field) {
	for _, one := range []struct {
		key   string
		is    *float64
		usual float64
	}{{"width", &p.Width, shape.Width}, {"height", &p.Height, shape.Height}} {
		d, said := got[one.key]
		switch {
		case !said:
			*one.is = one.usual
		case shape.Line:
			r.add(d.offset, "unknown", fmt.Sprintf("the part %q has no %s: it is a line from point to point", p.Label, one.key), "leave it out")
			*one.is = 0
		case *one.is <= 0:
			r.add(d.value.offset, "value", fmt.Sprintf("%s is %v", one.key, *one.is), "give a number above zero")
		}
	}
	if d, said := got[shape.Counts]; said && (p.Count < shape.Fewest || p.Count > shape.Most) {
		r.add(d.value.offset, "value", fmt.Sprintf("a %s with %d %s cannot be drawn", p.Draws, p.Count, shape.Counts), fmt.Sprintf("give a whole number from %d to %d", shape.Fewest, shape.Most))
	} else if !said {
		p.Count = shape.Usual
	}
	if d, said := got["of"]; said && !slices.Contains(r.materials, p.Of) {
		r.add(d.value.offset, "value", fmt.Sprintf("nothing can be drawn of %q", p.Of), hintNear(p.Of, r.materials, "materials are: "+strings.Join(r.materials, ", ")))
	}
}

// inside checks that a part lies on the sheet.
func (r sceneReader) inside(shape Shape, p ScenePart, offset int) {
	if shape.Name == "" || r.scene.Width == 0 || r.scene.Height == 0 {
		return // has been reported
	}
	if shape.Line && len(p.At) == 1 {
		r.add(offset, "value", fmt.Sprintf("the part %q is a line of one point", p.Label), "give at least two: at = [[120, 300], [480, 220]]")
	}
	for _, c := range p.At {
		if c[0]-p.Width/2 < 0 || c[1]-p.Height/2 < 0 || c[0]+p.Width/2 > r.scene.Width || c[1]+p.Height/2 > r.scene.Height {
			r.add(offset, "outside", fmt.Sprintf("the part %q reaches out of the sheet: its middle is at %v, %v, and it is %v wide and %v high", p.Label, c[0], c[1], p.Width, p.Height),
				fmt.Sprintf("the sheet is %v wide and %v high; move the part, or make it smaller", r.scene.Width, r.scene.Height))
			return
		}
	}
}

// lessons reads the names of lessons.
func (r sceneReader) lessons(d field, what string) (all []SceneLesson) {
	if !r.want(d, list) {
		return nil
	}
	if len(d.value.items) > mostSceneLessons {
		r.add(d.value.offset, "limit", fmt.Sprintf("%s has more than %d lessons", what, mostSceneLessons), "name those that are most about it")
		return nil
	}
	for _, item := range d.value.items {
		if !r.want(field{key: d.key, offset: d.offset, value: item}, text) {
			continue
		}
		if slices.ContainsFunc(all, func(l SceneLesson) bool { return l.Slug == item.text }) {
			r.add(item.offset, "duplicate", fmt.Sprintf("%q stands twice in %s", item.text, d.key), "leave one out")
			continue
		}
		l := SceneLesson{Slug: item.text}
		l.Line, l.Column = r.place(item.offset)
		all = append(all, l)
	}
	return all
}

// section gives the section of a label that is there.
func (r sceneReader) section(label string) section {
	return r.sections[slices.IndexFunc(r.sections, func(s section) bool { return s.name == label })]
}

// translated reads the title or a part's name in another language.
func (r sceneReader) translated(s section, label, language string) {
	if label == "" {
		title := ""
		r.fill(s, fmt.Sprintf("the scene in %q", language), []string{"title"}, func(string) any { return &title })
		if r.scene.In == nil {
			r.scene.In = map[string]string{}
		}
		r.scene.In[language] = title
		return
	}
	at := slices.IndexFunc(r.scene.Parts, func(p ScenePart) bool { return p.Label == label })
	if !r.above(s, "the part", label, at >= 0) {
		return
	}
	p, name := &r.scene.Parts[at], ""
	r.fill(s, fmt.Sprintf("the part %q in %q", label, language), []string{"name"}, func(string) any { return &name })
	if p.Name == "" && name != "" && len(p.Lessons) == 0 { // otherwise it has been reported
		r.add(s.offset, "missing", fmt.Sprintf("the part %q has a name in %q, but none of its own", label, language), fmt.Sprintf("write below [%s]: name = \"...\"", label))
	}
	if p.Names == nil {
		p.Names = map[string]string{}
	}
	p.Names[language] = name
}

// number counts the parts that have a name, which no other part may have.
func (r sceneReader) number() {
	n := 0
	had := map[string]int{}
	for i := range r.scene.Parts {
		p := &r.scene.Parts[i]
		if p.Name == "" {
			continue
		}
		if line, twice := had[p.Name]; twice {
			r.add(r.section(p.Label).offset, "duplicate", fmt.Sprintf("the name %q stands twice, first with the part on line %d", p.Name, line), "give one part several places, or two parts two names")
		}
		had[p.Name] = p.Line
		n++
		p.Number = n
	}
}
