package site

import (
	"fmt"
	"io/fs"
	"path"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
)

// look adds the style sheets, scripts and fonts that pages share. The fonts
// are the Go family, whose licence stands in the fonts themselves and is also
// written beside them, as it asks.
func (b *builder) look() {
	names, err := fs.Glob(web, "web/*.[cj]s*")
	if err != nil || len(names) == 0 {
		b.fail(fmt.Errorf("no style sheet is embedded (%v)", err))
		return
	}
	for _, name := range names {
		content, err := web.ReadFile(name)
		if err != nil {
			b.fail(err)
			return
		}
		b.add("look/"+path.Base(name), content)
	}
	b.add("look/fonts/go-regular.ttf", goregular.TTF)
	b.add("look/fonts/go-italic.ttf", goitalic.TTF)
	b.add("look/fonts/go-bold.ttf", gobold.TTF)
	b.add("look/fonts/go-mono.ttf", gomono.TTF)
	licence, err := fontLicence()
	if err != nil {
		b.fail(err)
		return
	}
	b.add("look/fonts/licence.txt", []byte(licence))
}

func fontLicence() (string, error) {
	font, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		return "", err
	}
	text, err := font.Name(nil, sfnt.NameIDLicense)
	if err != nil {
		return "", fmt.Errorf("the licence of the typeface: %w", err)
	}
	return text + "\n", nil
}
