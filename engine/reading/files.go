package reading

import (
	"path"

	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/rows"
)

// ReadAll reads all files of readings in a lessons folder: those that end in
// .csv in its folder readings, of which a house may have none.
func ReadAll(in *folder.Folder) (all []Reading, messages []diag.Message) {
	const name = "readings"
	entries, _ := in.ReadDir(name)
	for _, e := range entries {
		if path.Ext(e.Name()) != ".csv" {
			continue
		}
		file := name + "/" + e.Name()
		source, err := in.ReadFile(file, rows.Largest)
		if err != nil {
			messages = append(messages, folder.Unreadable(in.Path(file), err))
			continue
		}
		list, found := Parse(in.Path(file), source)
		all, messages = append(all, list...), append(messages, found...)
	}
	return all, messages
}
