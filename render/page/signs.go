package page

import "html/template"

// signs are what stands in the triangle of a hazard's sign, drawn for a sheet of
// 24 by 22 units; each is told apart by its shape.
var signs = map[string]string{
	"rotating":   `<path d="M12.2 9.4a4.3 4.3 0 1 1-4.3 4.5"/><path d="m6.6 15 1.3-2 2 1.4"/>`,
	"voltage":    `<path class="full" d="M13.4 7.2 8.8 13.6h2.8l-1.2 5.2 4.9-6.9h-2.9z"/>`,
	"battery":    `<path d="M8 12.2h8v5.9H8zM10 12v-1.9M14 12v-1.9M9.6 15.1h1.8M12.8 15.1h1.8M13.7 14.2V16"/>`,
	"overspeed":  `<path d="m8 10.6 3.3 3.6L8 17.8M12.4 10.6l3.3 3.6-3.3 3.6"/>`,
	"dust":       `<path class="dots" d="M12 9.2v0M10.3 12v0M13.8 12.4v0M8.7 15.2v0M12 15.2v0M15.4 15.6v0M10.4 18v0M13.8 18.2v0"/>`,
	"insulation": `<path d="M5.9 16h4M14.1 16h4"/><path class="thin" d="M9.9 16h4.2M11 13.2 10 10.9M13 13.2l1-2.3M12 12.6V9.4"/>`,
}

// Sign is the sign of the hazard: a triangle with what it is about.
func (n Notice) Sign() template.HTML {
	return template.HTML(`<svg class="sign" viewBox="0 0 24 22" aria-hidden="true"><path class="edge" d="M12 1 23.5 21H.5z"/>` + signs[n.Name] + `</svg>`)
}
