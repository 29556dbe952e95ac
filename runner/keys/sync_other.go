//go:build !unix

package keys

// The rule kept here: where the system has no way to sync a folder, its own
// journal keeps the names.

func syncFolder(string) error { return nil }
