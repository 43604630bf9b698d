package sweeptest

import (
	"fmt"
	"slices"
	"testing"
)

// tests notes how a test ended that is handed to what is tested here.
type tests struct {
	testing.TB
	name, end string
}

func (s *tests) Name() string              { return s.name }
func (s *tests) Helper()                   {}
func (s *tests) Logf(string, ...any)       {}
func (s *tests) Fatalf(f string, a ...any) { s.end = "failed"; panic(fmt.Sprintf(f, a...)) }
func (s *tests) Skipf(f string, a ...any)  { s.end = "skipped"; panic(fmt.Sprintf(f, a...)) }

// ended gives how a test ends that does something.
func ended(name string, do func(testing.TB)) (end string) {
	s := &tests{name: name, end: "done"}
	defer func() {
		_ = recover()
		end = s.end
	}()
	do(s)
	return s.end
}

func numbers(n int) (list []int) {
	for i := range n {
		list = append(list, i)
	}
	return list
}

func TestSample(t *testing.T) {
	t.Setenv("SLIPRING_REQUIRE", "browser")
	seen := map[int]bool{}
	different := false
	for seed := range 60 {
		t.Setenv("SLIPRING_SEED", fmt.Sprint(seed))
		sample := Sample(t, numbers(40), 4)
		if len(sample) != 4 || !slices.IsSorted(sample) {
			t.Errorf("seed %d: %v", seed, sample)
		}
		if again := Sample(t, numbers(40), 4); !slices.Equal(sample, again) {
			t.Errorf("seed %d gives %v, then %v", seed, sample, again)
		}
		if !slices.Equal(sample, Sample(&tests{name: "another"}, numbers(40), 4)) {
			different = true
		}
		for _, i := range sample {
			seen[i] = true
		}
	}
	if len(seen) != 40 || !different {
		t.Errorf("%d of 40 cases are ever seen; two tests differ in what they see: %v", len(seen), different)
	}
	if got := Sample(t, numbers(3), 4); len(got) != 3 {
		t.Errorf("of 3 cases %v are taken", got)
	}
}

func TestSampleEach(t *testing.T) {
	t.Setenv("SLIPRING_REQUIRE", "")
	kind := func(i int) string { return fmt.Sprint(i % 3) }
	count := map[string]int{}
	for _, i := range SampleEach(t, numbers(32), 5, kind) {
		count[kind(i)]++
	}
	if count["0"] != 5 || count["1"] != 5 || count["2"] != 5 {
		t.Errorf("of each kind 5 should be taken: %v", count)
	}
}

func TestSome(t *testing.T) {
	for _, require := range []string{"", "sweeps"} {
		t.Setenv("SLIPRING_REQUIRE", require)
		count := map[int]int{}
		for _, i := range Some(t, numbers(32), 3, func(i int) string { return fmt.Sprint(i % 2) }) {
			count[i%2]++
		}
		if count[0] != 3 || count[1] != 3 {
			t.Errorf("%q: of each kind 3 should be taken: %v", require, count)
		}
	}
	if got := ended("none", func(t testing.TB) { Some(t, nil, 3, func(int) string { return "" }) }); got != "failed" {
		t.Errorf("without cases it is %s", got)
	}
}

func TestAll(t *testing.T) {
	for require, want := range map[string]bool{"": false, "browser": false, "sweeps": true, "browser,sweeps,axe": true} {
		want = want && !testing.Short()
		t.Setenv("SLIPRING_REQUIRE", require)
		if got := len(Sample(t, numbers(40), 4)) == 40; got != want {
			t.Errorf("with SLIPRING_REQUIRE=%q all cases are taken: %v", require, got)
		}
		if got := Count(2, 9) == 9; got != want {
			t.Errorf("with SLIPRING_REQUIRE=%q all are counted: %v", require, got)
		}
	}
}

func TestNothingIsNoSample(t *testing.T) {
	for _, require := range []string{"", Sweeps} {
		t.Setenv("SLIPRING_REQUIRE", require)
		for name, sample := range map[string]func(testing.TB){
			"no cases": func(t testing.TB) { Sample(t, numbers(0), 4) },
			"none":     func(t testing.TB) { Sample(t, numbers(4), 0) },
		} {
			if end := ended("a test", sample); end != "failed" {
				t.Errorf("%s, with SLIPRING_REQUIRE=%q: %s", name, require, end)
			}
		}
	}
	t.Setenv("SLIPRING_REQUIRE", "")
	for _, seed := range []string{"one", "-1", "1.5"} {
		t.Setenv("SLIPRING_SEED", seed)
		if end := ended("a test", func(t testing.TB) { Sample(t, numbers(9), 4) }); end != "failed" {
			t.Errorf("seed %q: %s", seed, end)
		}
	}
}

func TestMissing(t *testing.T) {
	for require, want := range map[string]string{"": "skipped", "landlock,axe": "skipped", "browser": "failed", "axe,browser": "failed"} {
		t.Setenv("SLIPRING_REQUIRE", require)
		if end := ended("a test", func(t testing.TB) { Missing(t, "browser", "no browser") }); end != want {
			t.Errorf("with SLIPRING_REQUIRE=%q: %s, want %s", require, end, want)
		}
	}
}

// A name that is misspelt would check less than somebody believes.
func TestUnknownName(t *testing.T) {
	for _, c := range []struct{ require, name string }{{"sweep", Sweeps}, {"browser, axe", "browser"}, {"", "browsers"}} {
		t.Setenv("SLIPRING_REQUIRE", c.require)
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("SLIPRING_REQUIRE=%q, asked for %q: nothing is said", c.require, c.name)
				}
			}()
			Required(c.name)
		}()
	}
}
