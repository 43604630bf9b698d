// Package sweeptest says how far tests go: which tools they insist on, and how
// many of its cases a slow sweep takes.
//
//	for _, page := range sweeptest.Sample(t, pages, 10) {
//		look(page)
//	}
//
// Two variables of the environment decide. SLIPRING_REQUIRE lists what must not
// be left out, parted by commas: names of tools, without which a test fails
// that would be skipped, and [Sweeps], with which sweeps take all their cases.
// SLIPRING_SEED, a whole number, chooses the sample that they take otherwise.
// Nothing but tests imports it.
package sweeptest

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Patience is how long a test waits for what must happen, on a machine that may
// be busy with other things. Only a test that fails uses it up.
const Patience = 3 * time.Minute

// Sweeps is the name in SLIPRING_REQUIRE that asks for all cases.
const Sweeps = "sweeps"

// names are all that SLIPRING_REQUIRE can list.
var names = []string{Sweeps, "landlock", "browser", "commonmark", "reference", "ngspice", "axe", "vnu", "lighthouse"}

// Required says whether SLIPRING_REQUIRE lists a name. It panics when the list
// holds a name that no test asks for, since less would be checked than somebody
// believes.
func Required(name string) bool {
	var list []string
	if text := os.Getenv("SLIPRING_REQUIRE"); text != "" {
		list = strings.Split(text, ",")
	}
	for _, listed := range append(list, name) {
		if !slices.Contains(names, listed) {
			panic(fmt.Sprintf("SLIPRING_REQUIRE can list %q, and not %q", names, listed))
		}
	}
	return slices.Contains(list, name)
}

// Missing ends a test for lack of something: it is skipped, or fails where
// SLIPRING_REQUIRE lists the name. The text says what is missing.
func Missing(t testing.TB, name, text string) {
	t.Helper()
	if Required(name) {
		t.Fatalf("%s; SLIPRING_REQUIRE asks for %q", text, name)
	}
	t.Skipf("%s, so that nothing was checked; SLIPRING_REQUIRE=%s insists", text, name)
}

// All says whether sweeps take all their cases. With -short they never do.
func All() bool { return Required(Sweeps) && !testing.Short() }

// Count gives how many random cases a test tries: few, or many where sweeps
// take all.
func Count(few, many int) int {
	if All() {
		return many
	}
	return few
}

// Seed gives the number in SLIPRING_SEED, or 1.
func Seed(t testing.TB) uint64 {
	t.Helper()
	text := cmp.Or(os.Getenv("SLIPRING_SEED"), "1")
	seed, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		t.Fatalf("SLIPRING_SEED is %q; set it to a whole number", text)
	}
	return seed
}

// Random gives a source of random numbers that a test of this name always has
// with this seed, and logs the seed.
func Random(t testing.TB) *rand.Rand {
	t.Helper()
	t.Logf("SLIPRING_SEED=%d", Seed(t))
	return random(t)
}

func random(t testing.TB) *rand.Rand {
	name := fnv.New64a()
	name.Write([]byte(t.Name()))
	return rand.New(rand.NewPCG(Seed(t), name.Sum64()))
}

// Sample gives n of the cases of a sweep, or as many as there are, in their
// order; all where sweeps take all. A sweep without cases fails.
func Sample[T any](t testing.TB, cases []T, n int) []T {
	t.Helper()
	return SampleEach(t, cases, n, func(T) string { return "" })
}

// SampleEach is Sample of n cases of each kind.
func SampleEach[T any](t testing.TB, cases []T, n int, kind func(T) string) []T {
	t.Helper()
	if All() && len(cases) > 0 && n > 0 {
		return cases
	}
	return Some(t, cases, n, kind)
}

// Some gives n of the cases of each kind, in their order, even where sweeps take
// all: of what takes long and differs little within a kind. A sweep without
// cases fails.
func Some[T any](t testing.TB, cases []T, n int, kind func(T) string) []T {
	t.Helper()
	if len(cases) == 0 || n < 1 {
		t.Fatalf("a sample of %d of %d cases checks nothing", n, len(cases))
	}
	taken := map[string]int{}
	var chosen []int
	for _, i := range random(t).Perm(len(cases)) {
		if k := kind(cases[i]); taken[k] < n {
			taken[k]++
			chosen = append(chosen, i)
		}
	}
	slices.Sort(chosen)
	var sample []T
	for _, i := range chosen {
		sample = append(sample, cases[i])
	}
	t.Logf("%d of %d cases, chosen by SLIPRING_SEED=%d", len(sample), len(cases), Seed(t))
	return sample
}

// UnderRaceDetector says whether the test runs under the race detector, where
// cells take some twenty times as long, and stacks more memory.
func UnderRaceDetector() bool {
	info, ok := debug.ReadBuildInfo()
	return ok && slices.Contains(info.Settings, debug.BuildSetting{Key: "-race", Value: "true"})
}
