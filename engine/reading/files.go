package reading

import (
	"fmt"
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
		for _, r := range list {
			if r.Expect != "" {
				found = append(found, diag.Message{File: r.File, Line: r.Line, Column: r.Column, Rule: Rule,
					Text: fmt.Sprintf("this reading is of a step that expects %q, and only lessons have steps", r.Expect),
					Hint: "put the file into the folder of the lesson with that step, and name it in data of the lesson block"})
				break // the file is in the wrong place, once
			}
		}
		all, messages = append(all, list...), append(messages, found...)
	}
	return all, messages
}
