package plot

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"hash"
	"math"
	"reflect"
	"sync"

	"slipring/engine/store"
	"slipring/engine/tell"
)

// Drawings draws figures and writes their numbers, and keeps both for whoever
// asks for the same again, as each page of a rehearsal does after every change,
// and each publish after a changed word. Nobody may change what comes back, nor
// the points of a figure that was handed in, until the next Turn.
//
// The zero Drawings is ready; the nil one keeps nothing. Several may draw at a
// time.
type Drawings struct {
	Kept    *store.Store // keeps them from one run of the program to the next; nil does not
	Program []byte       // digest of the program: what another has drawn is not recalled

	lock        sync.Mutex
	before, now map[drawingKey]outcome
	points      map[coordinates]drawingKey // since the last Turn
}

// coordinates is a list of numbers, told from others by where it stands in
// memory. Each reader of a lesson gets the same figures, so that its digest is
// needed several times.
type coordinates struct {
	first *float64
	n     int
}

type drawingKey [sha256.Size]byte

// outcome is a figure's drawing, or its numbers.
type outcome struct {
	Drawing Drawing
	Numbers []byte
}

// Draw is the function Draw.
func (d *Drawings) Draw(f tell.Figure, s Settings) (Drawing, error) {
	if d == nil {
		return Draw(f, s)
	}
	key := d.keyOf("drawing", f, s)
	if k, ok := d.get(key); ok {
		return k.Drawing, nil
	}
	drawing, err := Draw(f, s)
	if err == nil {
		d.put(key, outcome{Drawing: drawing})
	}
	return drawing, err
}

// CSV is the function CSV.
func (d *Drawings) CSV(f tell.Figure, knobs ...tell.Knob) []byte {
	if d == nil {
		return CSV(f, knobs...)
	}
	key := d.keyOf("numbers", f, Settings{Knobs: knobs})
	k, ok := d.get(key)
	if !ok {
		k.Numbers = CSV(f, knobs...)
		d.put(key, k)
	}
	return k.Numbers
}

// Turn forgets what nobody has asked for since the last Turn.
func (d *Drawings) Turn() {
	d.lock.Lock()
	defer d.lock.Unlock()
	d.before, d.now = d.now, nil
	d.points = nil
}

func (d *Drawings) get(key drawingKey) (outcome, bool) {
	d.lock.Lock()
	k, ok := d.now[key]
	if !ok {
		k, ok = d.before[key]
	}
	d.lock.Unlock()
	if !ok {
		k, ok = d.recall(key)
	}
	if ok {
		d.set(key, k)
	}
	return k, ok
}

func (d *Drawings) put(key drawingKey, k outcome) {
	d.set(key, k)
	if data, err := json.Marshal(k); err == nil && d.Kept != nil {
		_ = d.Kept.Put(d.keptKey(key), data) // or it is drawn again next time
	}
}

func (d *Drawings) recall(key drawingKey) (k outcome, ok bool) {
	data, ok := d.Kept.Get(d.keptKey(key))
	return k, ok && json.Unmarshal(data, &k) == nil
}

func (d *Drawings) keptKey(key drawingKey) string {
	return store.Key([]byte("drawing"), d.Program, key[:])
}

func (d *Drawings) set(key drawingKey, k outcome) {
	d.lock.Lock()
	defer d.lock.Unlock()
	if d.now == nil {
		d.now = map[drawingKey]outcome{}
	}
	d.now[key] = k
}

// keyOf digests all that a drawing depends on: every field of the figure and of
// the settings, whichever there are. Of the words that is their digest; of
// Told, what it makes of each label, and of what it made of it.
func (d *Drawings) keyOf(what string, f tell.Figure, s Settings) drawingKey {
	k := digester{sum: sha256.New(), told: s.Told, points: d.digestOf}
	language := ""
	if s.Words != nil {
		language = s.Words.Digest()
	}
	s.Words, s.Told = nil, nil
	k.text(what)
	k.text(language)
	k.value(reflect.ValueOf(f))
	k.told = nil
	k.value(reflect.ValueOf(s))
	return drawingKey(k.sum.Sum(nil))
}

// digestOf digests a list of numbers, once.
func (d *Drawings) digestOf(xs []float64) drawingKey {
	if len(xs) == 0 {
		return drawingKey{}
	}
	at := coordinates{&xs[0], len(xs)}
	d.lock.Lock()
	key, ok := d.points[at]
	d.lock.Unlock()
	if ok {
		return key
	}
	text := make([]byte, 0, 8*len(xs))
	for _, x := range xs {
		text = binary.BigEndian.AppendUint64(text, math.Float64bits(x))
	}
	key = sha256.Sum256(text)
	d.lock.Lock()
	defer d.lock.Unlock()
	if d.points == nil {
		d.points = map[coordinates]drawingKey{}
	}
	d.points[at] = key
	return key
}

type digester struct {
	sum    hash.Hash
	told   func(string) string
	points func([]float64) drawingKey
	buf    []byte
}

func (k *digester) number(x uint64) { k.sum.Write(binary.BigEndian.AppendUint64(k.buf[:0], x)) }

func (k *digester) text(s string) {
	k.number(uint64(len(s)))
	k.sum.Write([]byte(s))
}

// value digests plain data of any type. A type that it does not know is a
// mistake in the program.
func (k *digester) value(v reflect.Value) {
	switch v.Kind() {
	case reflect.Bool:
		if v.Bool() {
			k.number(1)
		} else {
			k.number(0)
		}
	case reflect.Int, reflect.Int64:
		k.number(uint64(v.Int()))
	case reflect.Float64:
		k.number(math.Float64bits(v.Float()))
	case reflect.String:
		k.text(v.String())
		if k.told != nil {
			once := k.told(v.String())
			k.text(once)
			k.text(k.told(once))
		}
	case reflect.Slice:
		k.number(uint64(v.Len()))
		if xs, ok := v.Interface().([]float64); ok {
			key := k.points(xs)
			k.sum.Write(key[:])
			return
		}
		for i := range v.Len() {
			k.value(v.Index(i))
		}
	case reflect.Struct:
		k.number(uint64(v.NumField()))
		for i := range v.NumField() {
			k.value(v.Field(i))
		}
	case reflect.Pointer, reflect.Func: // of the settings, which were digested before
		if !v.IsNil() {
			panic(fmt.Sprintf("plot: a drawing depends on a %s, which has no digest", v.Type()))
		}
	default:
		panic(fmt.Sprintf("plot: a drawing depends on a %s, which has no digest", v.Type()))
	}
}
