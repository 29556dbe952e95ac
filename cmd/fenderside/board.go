package main

import "errors"

// board shows open jobs, procedures and records, and works the one that is chosen.
func board(w *world, lines bool) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	if !w.terminal() && !lines {
		return errors.New("the board needs a terminal: list what there is with: fenderside jobs; fenderside procedures list; or use --plain")
	}
	return w.work(h, nil, "", lines)
}
