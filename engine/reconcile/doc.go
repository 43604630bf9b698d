// Package reconcile holds old drawings of one board against each other and
// against what a continuity tester showed, says which wires are there and how
// surely, and which tests to take to the board next.
//
//	b, err := reconcile.New(parts, sheets)
//	for _, r := range readings {
//		err = b.Take(r)
//	}
//	for _, j := range b.Judged() { ... }
//	for _, t := range b.Next(20) { ... }
//
// A Sheet is a drawing as a list of wires, a Reading what a tester showed between
// two terminals with all power off; both are typed in a spreadsheet, and ReadAll
// reads them below the lessons folder (sheet.go, continuity.go).
//
// How it is found out, in the order of the files:
//
//   - Each wire on any sheet may be there. Drawn wires that can be the same wire
//     form a slot, whose alternatives exclude each other (slot.go).
//   - Before any reading a slot's options are as likely as the drawings say, taken
//     in the order of their dates, each as a copy of the one before or as seen
//     anew (prior.go).
//   - A reading says whether two terminals are joined by any path, through wires
//     and parts. Only what lies on some path between them bears upon it (walk.go);
//     what is settled shrinks away, and the rest is a small network of slots
//     (link.go).
//   - Slots that a reading binds together form a group, with the likeliest
//     assignments of them all and their weights (group.go). A reading multiplies
//     these by the chance that a tester would show what it did (Bayes), which is
//     wrong now and then. Where there are too many assignments to keep, the
//     heaviest are searched for, always on from the heaviest that is known, and
//     weighed by all readings at once (weigh.go). What is nearly sure settles; a
//     reading that surprises opens it again, and a slot that is likely not as any
//     drawing has it is looked for beside its drawn places (take.go).
//   - A wire is found when that is nearly sure and a closed reading hangs on it:
//     its terminals would not be joined without the wire (verdict.go).
//   - Readings of which one has to be wrong are named in pairs, with the third that
//     settles it (contradiction.go), and the sheets that fit each part best
//     (fits.go).
//   - A test is worth the wires that it is expected to make certain, and something
//     for its information, over the root of its cost (plan.go, probes.go), as it is
//     foreseen with the groups that it bears upon (foresee.go). While a trip is put
//     together, each test is supposed to show what is likelier (suppose.go).
//
// What it cannot say: continuity knows nets, not wires. A chain and a star of the
// same terminals, and a wire beside a path, look alike; then no test has gain, and
// the wires stay likely or an open question. A wire that no drawing has is not
// looked for unless a drawn one is missing.
package reconcile
