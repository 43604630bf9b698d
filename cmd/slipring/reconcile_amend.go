package main

import (
	"fmt"
	"io"
	"strings"

	"slipring/engine/card"
	"slipring/engine/circuit"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/reconcile"
	"slipring/engine/replace"
)

// newWires are the first lines of a list of wires that was not there before.
const newWires = "# Wires of the board as they are believed now. slipring reconcile -amend writes this list from drawings\n# and continuity readings; evidence in your own words stays as it is.\n"

// amendWires writes the wires as they are believed now, whole or not at all.
func amendWires(stdout io.Writer, in *folder.Folder, parts circuit.Wiring, board *reconcile.Board) error {
	file := in.Path(wiresFile)
	source, there, messages := readText(in, wiresFile)
	var old []circuit.Wire
	if there && len(messages) == 0 {
		old, messages = card.ReadWires(file, source, parts)
	}
	for _, m := range messages {
		if m.Level == diag.Error {
			return m
		}
	}
	wires, done := board.Amended(old)
	content := card.WriteWires(source, newWires, wires)
	described, _ := in.Read(partsFile)
	_, messages = card.ReadWiring(in.Path(partsFile), described, file, content)
	for _, m := range messages {
		if m.Level == diag.Error {
			m.Text = "what is believed cannot stand there: " + m.Text
			m.Hint += "; or test the wires that are open questions there first"
			return m
		}
	}
	place, err := place(file, source, content)
	if err == nil {
		err = replace.Files([]replace.New{place}, replace.Lasting)
	}
	if err != nil {
		return unwritten(file, err)
	}
	var b strings.Builder
	for _, text := range done {
		fmt.Fprintln(&b, text)
	}
	fmt.Fprintf(&b, "%s: %s\n", file, count(len(wires), "wire"))
	_, err = io.WriteString(stdout, b.String())
	return err
}
