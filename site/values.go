package site

import (
	"bytes"
	"cmp"
	"encoding/json"
	"slices"

	"slipring/engine/lesson"
	"slipring/render/page"
)

// value is one entry of values.json. Frame says where the knobs that it was
// told under stand for it, and is null for what was told under none.
type value struct {
	Name  string    `json:"name"`
	Kind  string    `json:"kind"` // "value" or "claim"
	Value any       `json:"value"`
	Unit  string    `json:"unit"`
	Frame []float64 `json:"frame"`

	Uncertainty float64 `json:"uncertainty,omitempty"` // one standard uncertainty
}

// valuesJSON lists everything that the lesson's prose can be bound to, sorted
// by name and then by where knobs stand: what its cells told, and the
// constants of machine cards that it quotes. encoding/json writes a number as
// the shortest decimal that reads back exactly.
func valuesJSON(s page.Input) ([]byte, error) {
	list := []value{}
	for _, v := range s.Result.Values {
		for i, x := range v.Frames {
			one := value{Name: v.Name, Kind: "value", Value: x, Unit: v.Unit, Frame: v.At(s.Result.Knobs, i)}
			if v.Uncertainties != nil {
				one.Uncertainty = v.Uncertainties[i]
			}
			list = append(list, one)
		}
		if len(v.Frames) == 0 {
			list = append(list, value{Name: v.Name, Kind: "value", Value: v.Number, Unit: v.Unit, Uncertainty: v.Uncertainty})
		}
	}
	for _, c := range s.Result.Claims {
		for i, holds := range c.Frames {
			list = append(list, value{Name: c.Name, Kind: "claim", Value: holds, Frame: c.At(s.Result.Knobs, i)})
		}
		if len(c.Frames) == 0 {
			list = append(list, value{Name: c.Name, Kind: "claim", Value: c.Holds})
		}
	}
	quoted := map[string]bool{}
	s.Lesson.Body.Walk(func(n *lesson.Node) bool {
		if n.Kind == lesson.Bound && !quoted[n.Name] {
			if _, e, ok := s.Constant(n.Name); ok {
				quoted[n.Name] = true
				list = append(list, value{Name: n.Name, Kind: "value", Value: e.Value, Unit: e.Unit, Uncertainty: e.Uncertainty})
			}
		}
		return true
	})
	slices.SortFunc(list, func(a, b value) int {
		return cmp.Or(cmp.Compare(a.Name, b.Name), slices.Compare(a.Frame, b.Frame))
	})
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(list); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
