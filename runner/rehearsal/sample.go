package rehearsal

import (
	"fmt"

	"fenderside/procedures/library"
	"fenderside/runner/session"
)

// Sample plays a script that ships with the program, by its name, in a folder. Several samples in one folder make one
// store, with one chain of records for each key.
func Sample(dir, scriptName string) (session.Finished, error) {
	for _, s := range library.Scripts() {
		if s.Name == scriptName {
			return Run(Options{Script: s.Text, ScriptName: s.Name + ".yaml", Files: library.ScriptFiles(), Out: dir, Program: "sample"})
		}
	}
	return session.Finished{}, fmt.Errorf("play script %q: no such script ships with the program", scriptName)
}
