package main

// The rule kept here: whoever waits longer than half a second is told how far the work is, where they look at a terminal, and
// has a way out of it. Only work that reads and writes nothing is waited for here: it can be left at any point.

import (
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	"golang.org/x/term"

	"fenderside/procedures/plaintext"
)

// tellEvery is how long nothing is told at first, and then between two tellings.
const tellEvery = 500 * time.Millisecond

// await does what may take long, and ends it on ctrl+c with an error. The work says now and then how far it is.
func (w *world) await(doing string, work func(far func(string))) error {
	ticker := time.NewTicker(tellEvery)
	defer ticker.Stop()
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt, syscall.SIGTERM)
	defer signal.Stop(stop)
	watch := waiting{doing: doing, to: io.Discard, ticks: ticker.C, stop: stop}
	if f, ok := w.err.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		watch.to = f
	}
	return watch.through(work)
}

// waiting is somebody who waits for work.
type waiting struct {
	doing string
	to    io.Writer // the terminal they look at
	ticks <-chan time.Time
	stop  <-chan os.Signal
	wide  int // of the line that stands there
}

// through waits for the work. Work that is left behind goes on without anybody, until the program ends.
func (w *waiting) through(work func(far func(string))) error {
	var now atomic.Value
	now.Store("just begun")
	done := make(chan struct{})
	go func() {
		defer close(done)
		work(func(far string) { now.Store(far) })
	}()
	for {
		select {
		case <-done:
			w.show("")
			return nil
		case by := <-w.stop:
			w.show("")
			return fmt.Errorf("%s: ended by %s, %s: there is no verdict, and nothing was changed: run it again to its end", w.doing, signalName(by), now.Load())
		case <-w.ticks:
			w.show(plaintext.Show(fmt.Sprintf("%s: %s; ctrl+c ends it", w.doing, now.Load())))
		}
	}
}

func signalName(s os.Signal) string {
	if s == os.Interrupt {
		return "ctrl+c"
	}
	return "the signal " + s.String()
}

// show writes over the line that stood there; an empty one leaves nothing.
func (w *waiting) show(line string) {
	if line == "" && w.wide == 0 {
		return
	}
	const (
		most = 76 // a longer line would wrap, and could not be written over
		echo = 2  // of ctrl+c, which the terminal writes behind the line
	)
	cut := []rune(line)
	if len(cut) > most {
		cut = cut[:most]
	}
	fmt.Fprintf(w.to, "\r%s%s", string(cut), strings.Repeat(" ", max(0, w.wide+echo-len(cut))))
	if line == "" {
		fmt.Fprint(w.to, "\r")
	}
	w.wide = len(cut)
}
