package main

import (
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// written takes what is shown, and says each time that something was.
type written struct {
	strings.Builder
	each chan string
}

func (w *written) Write(p []byte) (int, error) {
	n, err := w.Builder.Write(p)
	w.each <- w.Builder.String()
	return n, err
}

func TestWhoWaitsIsToldHowFarTheWorkIsAndTheLineIsWipedAtItsEnd(t *testing.T) {
	to := &written{each: make(chan string, 8)}
	ticks, told, on := make(chan time.Time), make(chan bool), make(chan bool)
	w := waiting{doing: "audit", to: to, ticks: ticks}
	over := make(chan error)
	go func() {
		over <- w.through(func(far func(string)) {
			far("3 of 9 records judged\x1b[2J")
			told <- true
			<-on
		})
	}()
	<-told
	ticks <- time.Time{}
	assert.Equal(t, "\raudit: 3 of 9 records judged\\u{001B}[2J; ctrl+c ends it", strings.TrimRight(<-to.each, " "))
	on <- true
	require.NoError(t, <-over)
	last := to.Builder.String()
	last = last[strings.LastIndex(strings.TrimSuffix(last, "\r"), "\r")+1:]
	assert.Empty(t, strings.TrimSpace(last), "nothing stands in the line any more")
}

func TestShortWorkTellsNothing(t *testing.T) {
	to := &written{each: make(chan string, 8)}
	require.NoError(t, (&waiting{doing: "audit", to: to}).through(func(func(string)) {}))
	assert.Empty(t, to.String())
}

func TestASignalEndsTheWaitWithStatusOneAndAMessage(t *testing.T) {
	for s, name := range map[os.Signal]string{os.Interrupt: "ctrl+c", syscall.SIGTERM: "the signal terminated"} {
		stop, told, on := make(chan os.Signal), make(chan bool), make(chan bool)
		w := waiting{doing: "prove x", to: &written{each: make(chan string, 8)}, stop: stop}
		over := make(chan error)
		go func() {
			over <- w.through(func(far func(string)) {
				far("10000 states")
				told <- true
				<-on
			})
		}()
		<-told
		stop <- s
		err := <-over
		require.EqualError(t, err, "prove x: ended by "+name+", 10000 states: there is no verdict, and nothing was changed: run it again to its end")
		assert.Equal(t, fault, status(ran{err}))
		close(on)
	}
}
