// Command generate writes what cells may import, from one list of packages:
// the stubs that cells are checked against (../stubs), the symbols that the
// interpreter is given (../exports.go), and what the engine's doc comments say
// about them (../docs). Run it as
//
//	go generate ./engine/cell/symbols
//
// after the exported API of one of the packages, or a comment in it, has
// changed. What a package
// exports and cells are not offered stands at the end of its stub, with the
// reason. Nothing else is decided here: what cells may do with what they
// import is decided in engine/cell.
package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

func main() {
	all, err := load()
	var files map[string][]byte
	if err == nil {
		files, err = generate(all)
	}
	if err == nil {
		err = write(".", files)
	}
	if err != nil {
		fmt.Fprintf(os.Stderr, "generate: %v\n", err)
		os.Exit(1)
	}
}

// generate makes all files, by their path from engine/cell/symbols.
func generate(all []*pack) (map[string][]byte, error) {
	var err error
	files := map[string][]byte{}
	for _, s := range all {
		if files["stubs/"+s.path+".txt"], err = s.stub(); err != nil {
			return nil, err
		}
		if !explained(s.path) {
			continue
		}
		if files["docs/"+s.path+".json"], err = s.docs(); err != nil {
			return nil, err
		}
	}
	files["exports.go"], err = exports(all)
	return files, err
}

// write puts the files below dir, leaves alone what has not changed, and
// removes those that are no longer made.
func write(dir string, files map[string][]byte) error {
	for name, content := range files {
		name = filepath.Join(dir, filepath.FromSlash(name))
		if old, err := os.ReadFile(name); err == nil && bytes.Equal(old, content) {
			continue
		}
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(name, content, 0o644); err != nil {
			return err
		}
	}
	old, err := made(dir)
	if err != nil {
		return err
	}
	for _, name := range old {
		if files[name] == nil {
			if err := os.Remove(filepath.Join(dir, filepath.FromSlash(name))); err != nil {
				return err
			}
		}
	}
	return nil
}

// made lists the stubs and doc comments that stand below dir, by their slash
// path from there.
func made(dir string) ([]string, error) {
	var names []string
	for _, folder := range []string{"stubs", "docs"} {
		err := fs.WalkDir(os.DirFS(dir), folder, func(name string, d fs.DirEntry, err error) error {
			if err == nil && !d.IsDir() {
				names = append(names, name)
			}
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	return names, nil
}
