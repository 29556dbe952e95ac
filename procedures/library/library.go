// Package library holds what ships inside the program: procedures, demonstration vehicle cards and rehearsal scripts,
// embedded at build time.
//
// Every file here is sound, or the program does not start: a test reads each one, and the package panics with the
// file's faults otherwise. A file is named after the id in it.
package library

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"gopkg.in/yaml.v3"

	"fenderside/procedures"
)

//go:embed */*.yaml scripts/*.csv scripts/*.txt
var files embed.FS

// Script is one rehearsal script; its text is read by the rehearsal itself.
type Script struct {
	Name  string // the file's name without .yaml
	Title string // its `title:`
	Text  []byte
}

// Procedures returns the procedures in order of name. They are shared: do not change them.
func Procedures() []*procedures.Procedure { return slices.Clone(shipped().procedures) }

// Procedure returns the procedure of that name.
func Procedure(name string) (*procedures.Procedure, bool) {
	return first(shipped().procedures, func(p *procedures.Procedure) bool { return p.Name == name })
}

// Shelf gives the text of a procedure to those that include it.
func Shelf(name string) (file string, text []byte, err error) {
	file = path.Join("procedures", name+".yaml")
	if text, err = files.ReadFile(file); err != nil {
		return "", nil, fmt.Errorf("there is no procedure of that name")
	}
	return "library/" + file, text, nil
}

// Cards returns the vehicle cards in order of name. They are shared: do not change them.
func Cards() []*procedures.Card { return slices.Clone(shipped().cards) }

// Card returns the card of that name.
func Card(name string) (*procedures.Card, bool) {
	return first(shipped().cards, func(c *procedures.Card) bool { return c.Name == name })
}

// Scripts returns the rehearsal scripts in order of name. Each call returns its own copies of the texts.
func Scripts() []Script {
	all := slices.Clone(shipped().scripts)
	for i := range all {
		all[i].Text = slices.Clone(all[i].Text)
	}
	return all
}

// ScriptFiles is the folder with the files that scripts attach.
func ScriptFiles() fs.FS {
	scripts, err := fs.Sub(files, "scripts")
	if err != nil {
		panic(fmt.Sprintf("library: open the embedded scripts: %v", err))
	}
	return scripts
}

func first[T any](all []T, is func(T) bool) (found T, ok bool) {
	if i := slices.IndexFunc(all, is); i >= 0 {
		return all[i], true
	}
	return found, false
}

type library struct {
	procedures []*procedures.Procedure
	cards      []*procedures.Card
	scripts    []Script
}

// shipped reads the embedded files once.
var shipped = sync.OnceValue(func() library {
	return library{
		procedures: read("procedures", func(file string, text []byte) (*procedures.Procedure, string, error) {
			p, err := procedures.ParseWith(file, text, Shelf)
			if err != nil {
				return nil, "", err
			}
			return p, p.Name, nil
		}),
		cards: read("cards", func(file string, text []byte) (*procedures.Card, string, error) {
			c, err := procedures.ParseCard(file, text)
			if err != nil {
				return nil, "", err
			}
			return c, c.Name, nil
		}),
		scripts: read("scripts", script),
	}
})

// read parses every file of a folder, in order of name.
func read[T any](folder string, parse func(file string, text []byte) (T, string, error)) []T {
	var all []T
	entries, err := files.ReadDir(folder)
	if err != nil {
		return nil // the folder has no files
	}
	for _, e := range entries {
		if path.Ext(e.Name()) != ".yaml" {
			continue // what a script attaches
		}
		file := path.Join(folder, e.Name())
		text, err := files.ReadFile(file)
		if err != nil {
			panic(fmt.Sprintf("library: read embedded %s: %v", file, err))
		}
		parsed, name, err := parse("library/"+file, text)
		if err != nil {
			panic(fmt.Sprintf("library: an embedded file is faulty:\n%v", err))
		}
		if name+".yaml" != e.Name() {
			panic(fmt.Sprintf("library: %s holds %q; name the file %s.yaml", file, name, name))
		}
		all = append(all, parsed)
	}
	return all
}

// script takes the title out of a script; the rest is left to the rehearsal.
func script(file string, text []byte) (Script, string, error) {
	var head struct {
		Title string `yaml:"title"`
	}
	if err := yaml.Unmarshal(text, &head); err != nil {
		return Script{}, "", fmt.Errorf("%s: read the title: %w", file, err)
	}
	name := strings.TrimSuffix(path.Base(file), ".yaml")
	return Script{Name: name, Title: head.Title, Text: text}, name, nil
}
