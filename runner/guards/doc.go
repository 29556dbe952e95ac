// Package guards holds one test: each guard of the core is broken on purpose, and the tests of the rules must notice. It
// stands in a package of its own because it takes minutes.
package guards
