package main

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"slipring/engine/cell"
	"slipring/engine/machine"
	"slipring/engine/store"
	"slipring/engine/tell"
	"slipring/render/plot"
)

// memory keeps the results of lessons between runs of the command. A result
// depends on the cells (not on where they stand in the lesson, so that a
// changed word of prose runs nothing), on the machine cards that they opened,
// and on this very program. Kept beside it is under which limits it came about:
// what a lesson tells is counted alike on every computer, so that a limit on it
// must refuse the same lessons whether they are run or recalled. Time and memory
// are not counted so. They bound a run, and what is recalled needs none.
//
// Beside whole results it keeps the machine's single runs, each under the card,
// the changes and the scenario that it came from, so that a lesson of which one
// cell has changed does not run the machine again for the others.
type memory struct {
	kept   *store.Store // nil keeps nothing
	engine []byte       // digest of this program
	limits []byte       // those that count what a lesson tells
	runs   *runs        // nil keeps nothing
	fresh  bool         // keeps what is new, but recalls nothing
	last   *results     // nil keeps nothing
}

// results are those that lessons had last, by file, so that a rehearsal need
// not read them again.
type results struct {
	lock   sync.Mutex
	byFile map[string]keyed
}

type keyed struct {
	key    string
	result tell.Result
}

func (r *results) get(file, key string) (tell.Result, bool) {
	r.lock.Lock()
	defer r.lock.Unlock()
	k := r.byFile[file]
	return k.result, k.key == key
}

func (r *results) put(file, key string, result tell.Result) {
	r.lock.Lock()
	defer r.lock.Unlock()
	r.byFile[file] = keyed{key, result}
}

// runs are the machine's runs of all lessons.
type runs struct {
	lock  sync.Mutex
	known map[string]json.RawMessage // nil until one is asked for or added
	grown bool
}

// mostRuns is how many runs are kept; with more, the next program starts afresh.
const mostRuns = 2000

// memory gives the memory that the flags ask for.
func (o options) memory() memory {
	m := openMemory()
	m.fresh = o.fresh
	m.limits = fmt.Appendf(nil, "output %d, printed %d, frames %d, points %d", o.limits.Output, o.limits.Printed, o.limits.Frames, o.limits.Points)
	return m
}

// openMemory gives the memory in the user's cache folder, or one that keeps
// nothing where there is no such folder.
func openMemory() memory {
	dir, err := os.UserCacheDir()
	if err != nil {
		return memory{}
	}
	engine, err := digestOfProgram()
	if err != nil {
		return memory{}
	}
	return memory{kept: store.Open(filepath.Join(dir, "slipring")), engine: engine, runs: &runs{}, last: &results{byFile: map[string]keyed{}}}
}

// readRuns reads those of earlier programs, once. The lock is held.
func (m memory) readRuns() {
	if m.runs.known != nil {
		return
	}
	data, ok := m.kept.Get(m.runsKey())
	if !ok || json.Unmarshal(data, &m.runs.known) != nil || m.runs.known == nil || len(m.runs.known) >= mostRuns {
		m.runs.known = map[string]json.RawMessage{}
	}
}

// drawings gives what keeps drawings between runs of the command.
func (m memory) drawings() *plot.Drawings {
	if m.fresh {
		return &plot.Drawings{}
	}
	return &plot.Drawings{Kept: m.kept, Program: m.engine}
}

func (m memory) runsKey() string { return store.Key([]byte("runs of machines"), m.engine) }

// knownRuns gives the runs that are known by now.
func (m memory) knownRuns() map[string]json.RawMessage {
	if m.runs == nil || m.fresh {
		return nil
	}
	m.runs.lock.Lock()
	defer m.runs.lock.Unlock()
	m.readRuns()
	return maps.Clone(m.runs.known)
}

// addRuns adds new runs to those that are known.
func (m memory) addRuns(fresh map[string]json.RawMessage) {
	if m.runs == nil || len(fresh) == 0 {
		return
	}
	m.runs.lock.Lock()
	defer m.runs.lock.Unlock()
	m.readRuns()
	maps.Copy(m.runs.known, fresh)
	m.runs.grown = true
}

// close keeps the runs for the next time; the memory may still be used.
func (m memory) close() {
	if m.runs == nil || !m.runs.grown {
		return
	}
	m.runs.lock.Lock()
	defer m.runs.lock.Unlock()
	if data, err := json.Marshal(m.runs.known); err == nil && m.kept.Put(m.runsKey(), data) == nil {
		m.runs.grown = false
	}
}

func digestOfProgram() ([]byte, error) {
	name, err := os.Executable()
	if err != nil {
		return nil, err
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return nil, err
	}
	return sum.Sum(nil), nil
}

// Which cards the cells open is known only once they have run, so it is kept
// too, under a key of its own. A program that opened some cards and finds
// those unchanged does all over again what it did, whatever else has changed.
func (m memory) openedKey(p *cell.Program) string {
	return store.Key([]byte("cards that cells open"), m.engine, p.Source, readings(p))
}

// readings gives the lesson's data files as one ingredient.
func readings(p *cell.Program) []byte {
	content, err := json.Marshal(p.Readings)
	if err != nil { // plain numbers and words; infinities are refused when read
		panic(err)
	}
	return content
}

func (m memory) resultKey(p *cell.Program, opened []string, cards []machine.Card) (string, bool) {
	parts := [][]byte{[]byte("result of cells"), m.engine, m.limits, p.Source, readings(p)}
	for _, name := range opened {
		i := slices.IndexFunc(cards, func(c machine.Card) bool { return c.Name == name })
		if i < 0 {
			return "", false
		}
		content, err := json.Marshal(cards[i])
		if err != nil {
			return "", false
		}
		parts = append(parts, content)
	}
	return store.Key(parts...), true
}

// recall gives the result that the program had when it last ran with these
// cards, if it is known.
func (m memory) recall(p *cell.Program, cards []machine.Card) (tell.Result, bool) {
	var opened []string
	data, ok := m.kept.Get(m.openedKey(p))
	if !ok || m.fresh || json.Unmarshal(data, &opened) != nil {
		return tell.Result{}, false
	}
	key, ok := m.resultKey(p, opened, cards)
	if !ok {
		return tell.Result{}, false
	}
	if result, ok := m.last.get(p.File, key); ok {
		return result, true
	}
	var result tell.Result
	data, ok = m.kept.Get(key)
	if !ok || json.Unmarshal(data, &result) != nil {
		return tell.Result{}, false
	}
	m.last.put(p.File, key, result)
	return result, true
}

// remember keeps a result. What cannot be kept is computed again next time.
func (m memory) remember(p *cell.Program, cards []machine.Card, result tell.Result) {
	key, ok := m.resultKey(p, result.Cards, cards)
	if !ok {
		return
	}
	opened, err := json.Marshal(result.Cards)
	if err != nil {
		return
	}
	content, err := json.Marshal(result)
	if err != nil {
		return
	}
	if m.kept.Put(key, content) == nil {
		m.kept.Put(m.openedKey(p), opened)
	}
}
