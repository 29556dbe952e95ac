package home

// The rule kept here: a fault in one file of the person's does not hide the
// others, and no file of theirs takes the name of another.

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/procedures/plaintext"
)

// Cards returns the vehicle cards that ship with the program and the person's
// own, and what is wrong with those left out.
func (h Home) Cards() (cards []*procedures.Card, problems []error) {
	return gather(library.Cards(), h.CardsDir(), "card", ReadCard, func(c *procedures.Card) string { return c.Name })
}

// Procedures returns the procedures that ship with the program and the
// person's own, in the order in which they are offered, and what is wrong with
// those left out.
func (h Home) Procedures() (list []*procedures.Procedure, problems []error) {
	list, problems = gather(library.Procedures(), h.ProceduresDir(), "procedure", ReadProcedure, func(p *procedures.Procedure) string { return p.Name })
	return ordered(list), problems
}

// Procedure finds a procedure by its name, or reads the file of that path: a
// text with a path separator, or that ends in .yaml or .yml, is a path.
func (h Home) Procedure(nameOrFile string) (*procedures.Procedure, error) {
	if IsPath(nameOrFile) {
		return ReadProcedure(nameOrFile)
	}
	list, problems := h.Procedures()
	return pick(list, problems, nameOrFile, "procedure", func(p *procedures.Procedure) string { return p.Name })
}

// Card finds a vehicle card by its name, or reads the file of that path.
func (h Home) Card(nameOrFile string) (*procedures.Card, error) {
	if IsPath(nameOrFile) {
		return ReadCard(nameOrFile)
	}
	list, problems := h.Cards()
	return pick(list, problems, nameOrFile, "card", func(c *procedures.Card) string { return c.Name })
}

// ReadProcedure reads one procedure file. The error is procedures.Faults when
// the file was read and is faulty.
func ReadProcedure(path string) (*procedures.Procedure, error) {
	text, err := readUpTo(path, procedures.MaxFile)
	if err != nil {
		return nil, fmt.Errorf("read the procedure: %w: check the path, and that it is a file you may read", err)
	}
	return procedures.ParseWith(path, text, Shelf(filepath.Dir(path)))
}

// Shelf gives the procedures that others include: those of a folder, then those that ship with the program.
func Shelf(folder string) procedures.Shelf {
	return func(name string) (string, []byte, error) {
		file := filepath.Join(folder, name+".yaml")
		text, err := readUpTo(file, procedures.MaxFile)
		if errors.Is(err, fs.ErrNotExist) {
			return library.Shelf(name)
		}
		return file, text, err
	}
}

// ReadCard reads one vehicle card. The error is procedures.Faults when the file
// was read and is faulty.
func ReadCard(path string) (*procedures.Card, error) {
	text, err := readUpTo(path, procedures.MaxFile)
	if err != nil {
		return nil, fmt.Errorf("read the vehicle card: %w: check the path, and that it is a file you may read", err)
	}
	return procedures.ParseCard(path, text)
}

// ReadScript reads the text of one rehearsal script.
func ReadScript(path string) ([]byte, error) {
	text, err := readUpTo(path, procedures.MaxFile)
	if err != nil {
		return nil, fmt.Errorf("read the script: %w: check the path, and that it is a file you may read", err)
	}
	return text, nil
}

// readUpTo reads at most limit bytes of a plain file, or one more when there
// are more, so that whoever parses it can say that it is too long.
func readUpTo(path string, limit int64) ([]byte, error) {
	info, err := os.Stat(path) // before opening, which would wait on a pipe
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, &fs.PathError{Op: "open", Path: path, Err: errors.New("it is not a plain file")}
	}
	in, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return io.ReadAll(io.LimitReader(in, limit+1))
}

// IsPath says whether an argument is a path rather than a name.
func IsPath(s string) bool {
	return strings.ContainsAny(s, `/\`) || strings.HasSuffix(s, ".yaml") || strings.HasSuffix(s, ".yml")
}

// gather joins what ships with what a folder holds.
func gather[T any](shipped []T, dir, what string, read func(string) (T, error), nameOf func(T) string) (all []T, problems []error) {
	all = shipped
	from := map[string]string{}
	for _, one := range all {
		from[nameOf(one)] = "this program"
	}
	files, err := yamlFiles(dir)
	if err != nil {
		problems = append(problems, err)
	}
	for _, path := range files {
		one, err := read(path)
		if err != nil {
			problems = append(problems, err)
			continue
		}
		if other, taken := from[nameOf(one)]; taken {
			problems = append(problems, fmt.Errorf("%s: %s %q is in %s already: give yours another name", plaintext.Show(path), what, nameOf(one), other))
			continue
		}
		from[nameOf(one)] = plaintext.Show(path)
		all = append(all, one)
	}
	return all, problems
}

// yamlFiles lists the .yaml files of a folder by name; a folder that is not
// there has none.
func yamlFiles(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("list the folder: %w: make it a folder you may read", err)
	}
	var out []string
	for _, e := range entries {
		if !e.IsDir() && (strings.HasSuffix(e.Name(), ".yaml") || strings.HasSuffix(e.Name(), ".yml")) {
			out = append(out, filepath.Join(dir, e.Name()))
		}
	}
	return out, nil
}

// ErrUnknown is wrapped when nothing has the name asked for.
var ErrUnknown = errors.New("there is none of that name")

// pick finds one by its name.
func pick[T any](all []T, problems []error, name, what string, nameOf func(T) string) (found T, err error) {
	names := make([]string, 0, len(all))
	for _, one := range all {
		if nameOf(one) == name {
			return one, nil
		}
		names = append(names, nameOf(one))
	}
	err = fmt.Errorf("find %s %q: %w: %s", what, plaintext.Show(name), ErrUnknown, procedures.DidYouMean(name, names))
	return found, errors.Join(append([]error{err}, problems...)...)
}
