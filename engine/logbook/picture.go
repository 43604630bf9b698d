package logbook

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io/fs"
	"regexp"

	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/lesson"
)

// Picture is a picture beside an entry, ready for a page: drawn anew, so that
// nothing is left of what a camera notes of place, time and owner.
type Picture struct {
	Name          string // of the file
	Content       []byte
	Width, Height int
}

// How large a picture may be.
const (
	LargestPicture = 2 << 20   // bytes
	mostPixels     = 4_000_000 // decoded, 16 MB
)

var pictureForm = regexp.MustCompile(`^[a-z0-9]+(?:-[a-z0-9]+)*\.(?:png|jpg|jpeg)$`)

// pictures reads those that an entry places.
func (r *reader) pictures(e *Entry) {
	e.Lesson.Body.Walk(func(n *lesson.Node) bool {
		if n.Kind != lesson.Embed {
			return true
		}
		p, text, hint := r.picture(n.Name)
		if text == "" && len(n.Children) == 0 {
			text, hint = fmt.Sprintf("the picture %q says nothing to who cannot see it", n.Name), fmt.Sprintf("write what it shows: ![a worn contact](picture:%s)", n.Name)
		}
		if text != "" {
			r.messages = append(r.messages, e.Lesson.Message(n.Offset, diag.Error, Rule, text, hint))
			return false
		}
		e.Pictures = append(e.Pictures, p)
		return false
	})
}

// picture reads one, or says why not.
func (r *reader) picture(name string) (p Picture, text, hint string) {
	if !pictureForm.MatchString(name) {
		return p, fmt.Sprintf("%q cannot be the name of a picture", name), "use small letters, digits and dashes, with the ending .png or .jpg"
	}
	source, err := r.in.ReadFile(dir+"/"+name, LargestPicture)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return p, fmt.Sprintf("there is no picture %q beside the entry", name), "put the file itself into the folder logbook, under this very name"
	case err != nil:
		return p, fmt.Sprintf("the picture %q cannot be read: %s", name, reason(err)), folder.Hint(err)
	case len(source) > LargestPicture:
		return p, fmt.Sprintf("the picture %q has more than the %d bytes that one may have", name, LargestPicture), "save it smaller: 1600 pixels are wide enough"
	}
	head, format, err := image.DecodeConfig(bytes.NewReader(source))
	if err != nil || format != "png" && format != "jpeg" {
		return p, fmt.Sprintf("%q is no picture that can be read", name), "save it as PNG or JPEG"
	}
	if head.Width < 1 || head.Height < 1 || head.Width > mostPixels/head.Height {
		return p, fmt.Sprintf("the picture %q is %d by %d pixels, more than %d in all", name, head.Width, head.Height, mostPixels), "save it smaller: 1600 pixels are wide enough"
	}
	drawn, _, err := image.Decode(bytes.NewReader(source))
	if err != nil {
		return p, fmt.Sprintf("the picture %q is damaged: %v", name, err), "save it again as PNG or JPEG"
	}
	var out bytes.Buffer
	if format == "png" {
		err = png.Encode(&out, drawn)
	} else {
		err = jpeg.Encode(&out, drawn, &jpeg.Options{Quality: 85})
	}
	if err != nil {
		return p, fmt.Sprintf("the picture %q cannot be drawn anew: %v", name, err), "save it as PNG or JPEG, in grey or in colours"
	}
	return Picture{name, out.Bytes(), head.Width, head.Height}, "", ""
}
