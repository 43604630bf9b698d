// Package reconcile holds old drawings of one board against each other and
// against what a continuity tester showed.
//
// A Sheet is a drawing as a list of wires, a Reading what a tester showed between
// two terminals with all power off; both are typed in a spreadsheet, and
// ReadAll reads them below the lessons folder.
package reconcile
