package rehearsal

// A script becomes a tree as strictly as a procedure does. Its faults are gathered here.

import (
	"fmt"

	"gopkg.in/yaml.v3"

	"fenderside/procedures"
)

// reader collects the faults of one script.
type reader struct {
	file   string
	faults procedures.Faults
}

// fault keeps one fault; the sentence is formatted like fmt.Sprintf.
func (r *reader) fault(n *yaml.Node, hint, sentence string, args ...any) {
	r.faults = append(r.faults, procedures.Fault{File: r.file, Place: procedures.PlaceOf(n), What: fmt.Sprintf(sentence, args...), Hint: hint})
}

// err is every fault, sorted by place, or nil.
func (r *reader) err() error {
	if len(r.faults) == 0 {
		return nil
	}
	return r.faults.Sorted()
}

func quote(s string) string { return procedures.Quote(s) }
