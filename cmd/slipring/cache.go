package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/gob"
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

// cache keeps the results of lessons between runs of the command. A result
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
type cache struct {
	store  *store.Store // nil keeps nothing
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

// cache gives the cache that the flags ask for.
func (o options) cache() cache {
	c := openCache()
	c.fresh = o.fresh
	c.limits = fmt.Appendf(nil, "output %d, printed %d, frames %d, points %d", o.limits.Output, o.limits.Printed, o.limits.Frames, o.limits.Points)
	return c
}

// openCache gives the cache in the user's cache folder, or one that keeps
// nothing where there is no such folder.
func openCache() cache {
	dir, err := os.UserCacheDir()
	if err != nil {
		return cache{}
	}
	engine, err := digestOfProgram()
	if err != nil {
		return cache{}
	}
	return cache{store: store.Open(filepath.Join(dir, "slipring")), engine: engine, runs: &runs{}, last: &results{byFile: map[string]keyed{}}}
}

// readRuns reads those of earlier programs, once. The lock is held.
func (c cache) readRuns() {
	if c.runs.known != nil {
		return
	}
	data, ok := c.store.Get(c.runsKey())
	if !ok || json.Unmarshal(data, &c.runs.known) != nil || c.runs.known == nil || len(c.runs.known) >= mostRuns {
		c.runs.known = map[string]json.RawMessage{}
	}
}

// drawings gives what keeps drawings between runs of the command.
func (c cache) drawings() *plot.Drawings {
	if c.fresh {
		return &plot.Drawings{}
	}
	return &plot.Drawings{Kept: c.store, Program: c.engine}
}

// file gives a file that this program made of the same before, or else makes and
// keeps it.
func (c cache) file(of []byte, produce func() ([]byte, error)) ([]byte, error) {
	key := store.Key([]byte("file"), c.engine, of)
	if data, ok := c.store.Get(key); ok && !c.fresh {
		return data, nil
	}
	data, err := produce()
	if err == nil {
		_ = c.store.Put(key, data) // or it is made again
	}
	return data, err
}

func (c cache) runsKey() string { return store.Key([]byte("runs of machines"), c.engine) }

// machineRuns gives the runs that are known by now.
func (c cache) machineRuns() map[string]json.RawMessage {
	if c.runs == nil || c.fresh {
		return nil
	}
	c.runs.lock.Lock()
	defer c.runs.lock.Unlock()
	c.readRuns()
	return maps.Clone(c.runs.known)
}

// addRuns adds new runs to those that are known.
func (c cache) addRuns(fresh map[string]json.RawMessage) {
	if c.runs == nil || len(fresh) == 0 {
		return
	}
	c.runs.lock.Lock()
	defer c.runs.lock.Unlock()
	c.readRuns()
	maps.Copy(c.runs.known, fresh)
	c.runs.grown = true
}

// close keeps the runs for the next time; the cache may still be used.
func (c cache) close() {
	if c.runs == nil || !c.runs.grown {
		return
	}
	c.runs.lock.Lock()
	defer c.runs.lock.Unlock()
	if data, err := json.Marshal(c.runs.known); err == nil && c.store.Put(c.runsKey(), data) == nil {
		c.runs.grown = false
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
func (c cache) openedKey(p *cell.Program) string {
	return store.Key([]byte("cards that cells open"), c.engine, p.Source, laid(p))
}

// laid gives the lesson's data files and captures, and what it asks of the house's
// readings and wiring, as one ingredient.
func laid(p *cell.Program) []byte {
	content, err := json.Marshal([]any{p.Beside, p.Entered, p.Wiring, p.Cutting, p.Papers})
	if err != nil { // plain numbers and words; infinities are refused when read
		panic(err)
	}
	return content
}

func (c cache) resultKey(p *cell.Program, opened []string, cards []machine.Card) (string, bool) {
	parts := [][]byte{[]byte("result of cells"), c.engine, c.limits, p.Source, laid(p)}
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
func (c cache) recall(p *cell.Program, cards []machine.Card) (tell.Result, bool) {
	var opened []string
	data, ok := c.store.Get(c.openedKey(p))
	if !ok || c.fresh || json.Unmarshal(data, &opened) != nil {
		return tell.Result{}, false
	}
	key, ok := c.resultKey(p, opened, cards)
	if !ok {
		return tell.Result{}, false
	}
	if result, ok := c.last.get(p.File, key); ok {
		return result, true
	}
	var result tell.Result
	data, ok = c.store.Get(key)
	if !ok || gob.NewDecoder(bytes.NewReader(data)).Decode(&result) != nil {
		return tell.Result{}, false
	}
	c.last.put(p.File, key, result)
	return result, true
}

// remember keeps a result. What cannot be kept is computed again next time.
func (c cache) remember(p *cell.Program, cards []machine.Card, result tell.Result) {
	key, ok := c.resultKey(p, result.Cards, cards)
	if !ok {
		return
	}
	opened, err := json.Marshal(result.Cards)
	if err != nil {
		return
	}
	var content bytes.Buffer // of gob, since JSON takes several times as long to read so many numbers
	if err := gob.NewEncoder(&content).Encode(result); err != nil {
		return
	}
	if c.store.Put(key, content.Bytes()) == nil {
		c.store.Put(c.openedKey(p), opened)
	}
}
