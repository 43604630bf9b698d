package capture

import (
	"bytes"
	"math"
	"testing"
)

// Whatever a file holds, it is read to a capture whose numbers can be measured,
// or refused with a message.
func FuzzReadNumbers(f *testing.F) {
	for _, seed := range []string{
		"time (s),u (V)\n0,1\n0.1,0\n0.2,1\n0.3,0\n0.4,1\n0.5,0\n0.6,1\n0.7,0\n0.8,1\n",
		"sample interval;0,1\n1,5\n0\n1,5\n0\n1,5\n0\n1,5\n0\n",
		"a,1,,0,1\nb,2,,1,2\n,,,2,3\n,,,3,1\n,,,4,1\n,,,5,1\n,,,6,1\n,,,7,1\n,,,8,1\n",
		"X,CH1,-1,0.5\n0,inf,\n1,2,\n2,9e37,\n3,1,\n4,1,\n5,2,\n6,1,\n7,1,\n",
		"\ufeff\"t\"\t\"u\"\r\n1e300\t-1\r\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		c, messages := ReadNumbers("x.csv", bytes.NewReader(content))
		if c == nil {
			if len(messages) == 0 {
				t.Fatal("refused without a word")
			}
			return
		}
		for _, ch := range c.Channels {
			if !(ch.Step > 0) || math.IsInf(ch.Step, 0) || len(ch.Y) < 1 {
				t.Fatalf("%q: step %g, %d samples", ch.Name, ch.Step, len(ch.Y))
			}
		}
		for _, r := range Measure(c).Results {
			if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) || math.IsNaN(r.Uncertainty) || r.Uncertainty < 0 {
				t.Errorf("%s %s: %g ± %g", r.Channel, r.Name, r.Value, r.Uncertainty)
			}
		}
	})
}

// Whatever a picture's header says, it is read or refused with a message, and
// nothing large is made of a small file.
func FuzzReadPicture(f *testing.F) {
	s := shown{width: 240, turns: 3.3, high: 0.40, late: 40, begin: 0.13, thick: 2, frameOut: 10}
	for _, quality := range []int{0, 80} {
		s.jpeg = quality
		content, _ := s.file(f, quiet())
		f.Add(content)
		f.Add(content[:len(content)/3])
	}
	f.Add(headerOf(20000, 10000))
	f.Add(headerOf(7000, 7000))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x08Exif"))
	f.Fuzz(func(t *testing.T, content []byte) {
		c, messages := ReadPicture("x", bytes.NewReader(content), Screen{})
		if c == nil {
			if len(messages) == 0 {
				t.Fatal("refused without a word")
			}
			return
		}
		for _, r := range Measure(c).Results {
			if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) || math.IsNaN(r.Uncertainty) {
				t.Errorf("%s %s: %g ± %g", r.Channel, r.Name, r.Value, r.Uncertainty)
			}
		}
	})
}
