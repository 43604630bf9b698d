package main

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// brokenCaptures are lessons with captures that cannot be read, but for those
// that testdata holds as text.
func brokenCaptures(t *testing.T) map[string]made {
	t.Helper()
	screen := string(must(os.ReadFile(filepath.Join(root, "lessons", "13-two-traces-on-a-screen", "screen.png"))))
	declare := func(file, content, screen string) made {
		name, _, _ := strings.Cut(file, ".")
		return made{files: map[string]string{
			"01-broken/" + file: content,
			"01-broken/lesson.md": fmt.Sprintf("```lesson\ntitle = \"A capture\"\n\n[[capture]]\nfile = %q\n%s```\n\n```go\ntell.Value(\"speed\", bench.Capture(%q).Result(\"contact\", \"frequency\").Value, \"Hz\")\n```\n\nIt turns [16 times a second][speed].\n",
				file, screen, name)}}
	}
	const scales = "per-division = \"0.025,50\"\n"
	return map[string]made{
		"capture-no-colour":      declare("screen.png", screen, scales+"traces = \"contact=#C46E00, coil=#FF00A0\"\n"),
		"capture-corners-turned": declare("screen.png", screen, scales+"corners = \"693,53 53,53 53,533 693,533\"\n"),
		"capture-corners-three":  declare("screen.png", screen, scales+"corners = \"53,53 693,53 693,533\"\n"),
		"capture-megapixels":     declare("screen.png", pngHeader(20_000, 10_000), scales),
		"capture-millions":       declare("bell.csv", "sample interval (s),0.0001\n"+strings.Repeat("1\n", 10_000_000), ""),
		"capture-cut-short":      declare("screen.png", screen[:len(screen)/2], scales),
	}
}

// pngHeader is the beginning of a PNG of this size, without its pixels (PNG
// specification, section 11.2.2).
func pngHeader(width, height uint32) string {
	chunk := []byte("IHDR")
	chunk = binary.BigEndian.AppendUint32(chunk, width)
	chunk = binary.BigEndian.AppendUint32(chunk, height)
	chunk = append(chunk, 8, 2, 0, 0, 0)
	return "\x89PNG\r\n\x1a\n\x00\x00\x00\x0d" + string(binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk)))
}
