//go:build !linux

package journal

// inMemory is not known here; the folders used are on a disk by custom.
func inMemory(string) bool { return false }
