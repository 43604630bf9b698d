package lesson

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strings"

	"slipring/engine/capture"
	"slipring/engine/diag"
	"slipring/engine/folder"
)

// Declared is a capture that a lesson's block names, with what its screen shows
// where it is a picture. Offset is the byte offset in the lesson file of its
// heading.
type Declared struct {
	File   string // name beside the lesson, with its ending
	Screen capture.Screen
	Offset int
}

// Capture is an oscilloscope's record beside a lesson, with what it shows.
type Capture struct {
	Name     string // of the file, without its ending
	File     string // path as the author would write it
	Channels []capture.Channel
	Report   capture.Report
}

// LargestCapture is the size, in bytes, up to which a capture is read. What is
// larger, the command measure reads.
const LargestCapture = folder.Largest

// captureTable heads the declaration of a capture.
const captureTable = "capture"

const captureSample = "[[capture]]\nfile = \"bells.csv\"\nand for a picture, as for slipring measure:\ncorners = \"40,30 600,30 600,450 40,450\"\nper-division = \"0.01,20\"\ntraces = \"contact=#FFE040, output=#40A0FF\"\nzeros = \"contact=-3, output=0\""

var (
	captureForm = regexp.MustCompile(`^[a-z][a-z0-9]*(?:-[a-z0-9]+)*\.(?:csv|txt|png|jpg|jpeg)$`)
	captureKeys = [...]string{"file", "corners", "per-division", "divisions", "columns", "traces", "zeros"}
)

// capture reads one [[capture]].
func (r *factReader) capture(t tomlTable) {
	d := Declared{Offset: r.text.at(r.base + t.at), Screen: capture.Screen{Declared: true}}
	for _, k := range t.keys {
		wrong := func(s *capture.Slip) {
			r.say(k.valueAt, fmt.Sprintf("%s: %q %s", k.name, k.text, s.Text), fmt.Sprintf("%s, such as %s = %q", s.How, k.name, s.Such))
		}
		set := map[string]func(string) *capture.Slip{"corners": d.Screen.SetCorners, "per-division": d.Screen.SetPerDivision,
			"divisions": d.Screen.SetDivisions, "columns": d.Screen.SetOwnColumns,
			"traces": each(d.Screen.AddTrace), "zeros": each(d.Screen.AddZero)}[k.name]
		switch {
		case !slices.Contains(captureKeys[:], k.name):
			r.say(k.at, fmt.Sprintf("a capture has no key %q", k.name), suggest(k.name, captureKeys[:]))
			return
		case !k.word:
			r.say(k.valueAt, k.name+" is text in quotation marks", "for example:\n"+captureSample)
			return
		case hiddenIn(k.text) != "":
			r.say(k.valueAt, hiddenIn(k.text), hiddenHint)
			return
		case k.name == "file" && !captureForm.MatchString(k.text):
			r.say(k.valueAt, fmt.Sprintf("%q cannot be the name of a capture", k.text),
				"put a CSV, PNG or JPEG file into the lesson's folder and name it with small letters, digits and dashes, such as bells.csv")
			return
		case k.name == "file":
			d.File = k.text
		default:
			if slip := set(k.text); slip != nil {
				wrong(slip)
				return
			}
		}
	}
	switch i := slices.IndexFunc(r.facts.Captures, func(had Declared) bool { return stem(had.File) == stem(d.File) }); {
	case d.File == "":
		r.say(t.at, "the capture names no file", "for example:\n"+captureSample)
	case i >= 0:
		r.say(t.at, fmt.Sprintf("two captures are called %q", stem(d.File)), "give one of the files another name")
	default:
		r.facts.Captures = append(r.facts.Captures, d)
	}
}

// each reads what stands between commas.
func each(add func(string) *capture.Slip) func(string) *capture.Slip {
	return func(text string) *capture.Slip {
		for one := range strings.SplitSeq(text, ",") {
			if slip := add(strings.TrimSpace(one)); slip != nil {
				return slip
			}
		}
		return nil
	}
}

func stem(file string) string {
	name, _, _ := strings.Cut(file, ".")
	return name
}

// Name is what cells call a capture.
func (d Declared) Name() string { return stem(d.File) }

// readCaptures reads and measures the captures that the lesson declares, with
// open giving the content of each. What a file holds besides its traces, such as
// the place and time of a photograph, is not kept.
func (l *Lesson) readCaptures(open func(name string) ([]byte, error)) []diag.Message {
	var messages []diag.Message
	l.Captures = nil
	for _, d := range l.Facts.Captures {
		say := func(text, hint string) {
			messages = append(messages, l.Message(d.Offset, diag.Error, "capture", text, hint))
		}
		source, err := open(d.File)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			say(fmt.Sprintf("%q is not beside the lesson", d.File), "put the file itself into the lesson's folder, under this very name, with large and small letters as here")
			continue
		case err != nil:
			say(fmt.Sprintf("%q cannot be read: %s", d.File, reason(err)), "put the file itself into the lesson's folder")
			continue
		case len(source) > LargestCapture:
			say(fmt.Sprintf("%q has more than the %d MB that a capture beside a lesson may have", d.File, LargestCapture>>20),
				"save a shorter stretch, or a smaller picture: 2000 pixels across the screen are enough; slipring measure reads larger files")
			continue
		}
		file := strings.TrimSuffix(l.File, lessonFile) + d.File
		c, found := read(file, source, d.Screen)
		one := Capture{Name: d.Name(), File: file}
		if c != nil {
			one.Channels, one.Report = c.Channels, capture.Measure(c)
			found = append(found, one.Report.Messages...)
		}
		for _, m := range found {
			if m.Line == 0 { // a picture has no lines: the place is that of its declaration
				m = l.Message(d.Offset, m.Level, "capture", fmt.Sprintf("%q: %s", d.File, m.Text), m.Hint)
			}
			messages = append(messages, m)
		}
		l.Captures = append(l.Captures, one)
	}
	return messages
}

func read(file string, source []byte, screen capture.Screen) (*capture.Capture, []diag.Message) {
	if capture.IsPicture(source) {
		return capture.ReadPicture(file, bytes.NewReader(source), screen)
	}
	return capture.ReadNumbers(file, bytes.NewReader(source))
}
