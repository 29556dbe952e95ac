//go:build race

package runner_test

// raced is whether the race detector watches, under which long explorations take several times as long.
const raced = true
