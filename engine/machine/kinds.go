package machine

// kind is a sort of part that a card may name.
type kind struct {
	name  string
	round int         // in which it joins
	alone bool        // a set has but one of it
	make  func() part // with nothing in it
}

// Parts join in rounds: what drives and is driven, then what watches that, and
// what guards it. States stand in that order, as in the reference tables.
const (
	driving = iota
	watchful
	guarding
	rounds
)

// kinds are the parts that a card may name, in the order of a logbook.
var kinds = [...]kind{
	{"battery", driving, false, func() part { return new(battery) }},
	{"fuse", guarding, false, func() part { return new(fuse) }},
	{"motor", driving, false, func() part { return new(motor) }},
	{"ac-motor", driving, false, func() part { return new(acMotor) }},
	{"shaft", driving, true, func() part { return new(shaft) }},
	{"governor", driving, false, func() part { return new(governor) }},
	{"output", driving, true, func() part { return new(output) }},
	{"generator", driving, false, func() part { return new(generator) }},
	{"regulator", watchful, false, func() part { return new(regulator) }},
	{"screws", driving, true, func() part { return new(screws) }},
	{"rheostat", driving, false, func() part { return new(rheostat) }},
	{"bell", driving, false, func() part { return new(bell) }},
	{"full-load", driving, true, func() part { return new(fullLoad) }},
	{"low-tone", driving, false, func() part { return new(tone) }},
	{"high-tone", driving, false, func() part { return new(tone) }},
}

func find(part string) (k kind, ok bool) {
	for _, k = range kinds {
		if k.name == part {
			return k, true
		}
	}
	return kind{}, false
}

// PartNames lists the parts that a card may have, in the order of a logbook.
func PartNames() []string {
	var out []string
	for _, k := range kinds {
		out = append(out, k.name)
	}
	return out
}
