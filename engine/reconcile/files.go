package reconcile

import (
	"errors"
	"io/fs"
	"path"
	"strings"

	"slipring/engine/circuit"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/rows"
)

// Places of the files in a lessons folder.
const (
	sheetsFolder   = "wiring/sheets"
	continuityFile = "wiring/continuity.csv"
)

// ReadAll reads all sheets of a lessons folder, in the order of their names, and
// its continuity readings. A house may have neither.
func ReadAll(in *folder.Folder, parts circuit.Wiring) (sheets []Sheet, readings []Reading, messages []diag.Message) {
	entries, err := in.ReadDir(sheetsFolder)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		messages = append(messages, folder.Unreadable(in.Path(sheetsFolder), err))
	}
	for _, e := range entries {
		if path.Ext(e.Name()) != ".csv" || folder.EditorsOwn(e.Name()) {
			continue
		}
		name := sheetsFolder + "/" + e.Name()
		source, err := in.ReadFile(name, rows.Largest)
		if err != nil {
			messages = append(messages, folder.Unreadable(in.Path(name), err))
			continue
		}
		s, found := ReadSheet(strings.TrimSuffix(e.Name(), ".csv"), in.Path(name), source, parts)
		sheets, messages = append(sheets, s), append(messages, found...)
	}
	source, err := in.ReadFile(continuityFile, rows.Largest)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		messages = append(messages, folder.Unreadable(in.Path(continuityFile), err))
	default:
		var found []diag.Message
		readings, found = ReadContinuity(in.Path(continuityFile), source, parts)
		messages = append(messages, found...)
	}
	return sheets, readings, messages
}
