package scene

import (
	"slipring/engine/card"
	"slipring/render/markup"
)

// shape is a kind of thing that can be drawn. Those with one place draw around
// 0, 0 in the part's width and height; lines draw from point to point.
type shape struct {
	card.Shape
	draw func(p *pen, one card.ScenePart)
}

// table is the one list of all shapes.
func table() []shape {
	return []shape{
		// whatever we did not think of
		{card.Shape{Name: "box", Width: 80, Height: 80}, func(p *pen, one card.ScenePart) {
			p.rect(p.usual("paper"), -one.Width/2, -one.Height/2, one.Width, one.Height)
		}},
		{card.Shape{Name: "disc", Width: 80, Height: 80}, func(p *pen, one card.ScenePart) {
			p.element("ellipse", "class", p.usual("paper"), "fill", "none", "stroke", "currentColor", "rx", markup.Tenths(one.Width/2), "ry", markup.Tenths(one.Height/2))
		}},
		{card.Shape{Name: "line", Line: true}, func(p *pen, one card.ScenePart) { p.line("line", polyline(one.At)) }},
		{card.Shape{Name: "area", Line: true}, func(p *pen, one card.ScenePart) { p.shape(p.usual("earth")+" plain", polyline(one.At)+"z") }},
		{card.Shape{Name: "words", Width: 200, Height: 40}, func(p *pen, one card.ScenePart) {
			p.text("text", one.Name, "class", "words", "y", markup.Tenths(one.Height*0.3), "font-size", markup.Tenths(one.Height*0.8), "text-anchor", "middle")
		}},

		// on the shaft
		{card.Shape{Name: "shaft", Width: 400, Height: 18}, shaft},
		{card.Shape{Name: "coupling", Width: 60, Height: 90}, coupling},
		{card.Shape{Name: "bearing", Width: 60, Height: 100}, bearing},
		{card.Shape{Name: "motor", Width: 190, Height: 180}, motor},
		{card.Shape{Name: "generator", Width: 190, Height: 190}, generator},
		{card.Shape{Name: "rings", Width: 84, Height: 130}, rings},
		{card.Shape{Name: "governor", Width: 130, Height: 180}, governor},
		{card.Shape{Name: "wheel", Width: 84, Height: 180, Counts: "teeth", Usual: 8, Fewest: 2, Most: 60}, wheel},

		// in the house
		{card.Shape{Name: "room", Width: 1200, Height: 540}, room},
		{card.Shape{Name: "table", Width: 860, Height: 130}, ironTable},
		{card.Shape{Name: "battery", Width: 190, Height: 260, Counts: "cells", Usual: 12, Fewest: 1, Most: 24}, battery},
		{card.Shape{Name: "board", Width: 860, Height: 220}, board},
		{card.Shape{Name: "lamp", Width: 52, Height: 52}, lamp},
		{card.Shape{Name: "fuse", Width: 34, Height: 64}, fuse},
		{card.Shape{Name: "meter", Width: 80, Height: 80}, meter},
		{card.Shape{Name: "starter", Width: 170, Height: 100, Counts: "steps", Usual: 6, Fewest: 3, Most: 9}, starter},
		{card.Shape{Name: "regulator", Width: 170, Height: 190}, regulator},

		// between the places
		{card.Shape{Name: "wire", Line: true}, func(p *pen, one card.ScenePart) { wire(p, one, ByOutput) }},
		{card.Shape{Name: "feeder", Line: true}, func(p *pen, one card.ScenePart) { wire(p, one, ByBattery) }},
		{card.Shape{Name: "pole", Width: 60, Height: 100, Counts: "wires", Usual: 3, Fewest: 1, Most: 8}, pole},
		{card.Shape{Name: "track", Line: true}, track},

		// out of doors
		{card.Shape{Name: "wagon", Width: 70, Height: 50}, wagon},
		{card.Shape{Name: "bell", Width: 64, Height: 64}, bell},
		{card.Shape{Name: "landing", Width: 130, Height: 100}, landing},
		{card.Shape{Name: "drum-house", Width: 150, Height: 120}, drumHouse},
		{card.Shape{Name: "wharf", Width: 180, Height: 90}, wharf},
		{card.Shape{Name: "water", Width: 200, Height: 30}, water},
	}
}

func polyline(at [][2]float64) string {
	pieces := []any{"M"}
	for i, a := range at {
		if i > 0 {
			pieces = append(pieces, "L")
		}
		pieces = append(pieces, a[0], " ", a[1])
	}
	return d(pieces...)
}
