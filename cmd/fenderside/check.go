package main

import (
	"errors"

	"fenderside/procedures"
)

// checkFiles reads files one after the other and prints every fault of every file. A file that cannot be read at all does
// not hide the faults of the others, and decides the exit status.
func checkFiles(w *world, files []string, read func(string) (string, error)) error {
	var unread, found error
	for _, file := range files {
		sound, err := read(file)
		var faults procedures.Faults
		switch {
		case errors.As(err, &faults):
			for _, f := range faults {
				w.say("%s", f.Error())
			}
			found = errFound
		case err != nil:
			unread = errors.Join(unread, err)
		default:
			w.say("%s: %s: sound", file, sound)
		}
	}
	if unread != nil {
		return unread
	}
	return found
}
