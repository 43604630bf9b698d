package machine

// kind is a sort of part that a card may name.
type kind struct {
	name string
	make func() Model // with nothing in it
}

// kinds are the parts that a card may name, in the order of a logbook.
var kinds = [...]kind{
	{"battery", func() Model { return new(Battery) }},
	{"fuse", func() Model { return new(Fuse) }},
	{"motor", func() Model { return new(Motor) }},
	{"ac-motor", func() Model { return new(ACMotor) }},
	{"shaft", func() Model { return new(Shaft) }},
	{"governor", func() Model { return new(Governor) }},
	{"output", func() Model { return new(Output) }},
	{"generator", func() Model { return new(Generator) }},
	{"regulator", func() Model { return new(Regulator) }},
	{"rheostat", func() Model { return new(Rheostat) }},
	{"bell", func() Model { return new(Bell) }},
	{"full-load", func() Model { return new(FullLoad) }},
	{"low-tone", func() Model { return new(Tone) }},
	{"high-tone", func() Model { return new(Tone) }},
}

func find(part string) (k kind, ok bool) {
	for _, k = range kinds {
		if k.name == part {
			return k, true
		}
	}
	return kind{}, false
}

// constants gives what the kind declares.
func (k kind) constants() constants {
	var c constants
	k.make().describe(&c)
	return c
}

// PartNames lists the parts that a card may have, in the order of a logbook.
func PartNames() []string {
	var out []string
	for _, k := range kinds {
		out = append(out, k.name)
	}
	return out
}
