// Package wholejob holds one test: the whole sensor swap, live, on the real program in a real terminal, by somebody who tries
// every key at every gate and whose laptop dies twice. It stands in a package of its own because it takes minutes.
package wholejob
