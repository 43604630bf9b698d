package site

import (
	"fmt"
	"maps"
	"slices"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"

	"slipring/site/publish"
)

// look adds the style sheets and scripts that some page uses, and the fonts.
// These are the Go family, whose licence stands in the fonts themselves and is
// also written beside them, as it asks.
func (b *builder) look(fonts publish.Tree, err error) {
	if err != nil {
		b.fail(err)
		return
	}
	for _, name := range slices.Sorted(maps.Keys(b.used)) {
		if name == sizesName+".css" {
			factor, err := larger(b.House.Screens)
			if err != nil {
				b.fail(err)
				return
			}
			b.add("look/"+name, sizesSheet(factor))
			continue
		}
		content, err := web.ReadFile("web/" + name)
		if err != nil {
			b.fail(err)
			return
		}
		b.add("look/"+name, content)
	}
	for name, content := range fonts {
		b.add(name, content)
	}
}

// packFonts gives the files of the typeface.
func (b *builder) packFonts() (publish.Tree, error) {
	licence, err := fontLicence()
	if err != nil {
		return nil, err
	}
	files := publish.Tree{"look/fonts/licence.txt": []byte(licence)}
	for name, font := range map[string][]byte{"regular": goregular.TTF, "italic": goitalic.TTF, "bold": gobold.TTF, "mono": gomono.TTF} {
		small, err := thin(font, usual())
		if err != nil {
			return nil, fmt.Errorf("the typeface, %s: %w", name, err)
		}
		for name, font := range map[string][]byte{name: font, name + "-usual": small} {
			packed, err := b.kept(slices.Concat([]byte("typeface "), font), func() ([]byte, error) { return woff(font) })
			if err != nil {
				return nil, fmt.Errorf("the typeface, %s: %w", name, err)
			}
			files["look/fonts/go-"+name+".woff"] = packed
		}
	}
	return files, nil
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
