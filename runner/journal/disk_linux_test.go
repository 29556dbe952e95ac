package journal

import "golang.org/x/sys/unix"

// inMemory tells whether dir lies on a file system that no disk stands behind.
func inMemory(dir string) bool {
	var info unix.Statfs_t
	return unix.Statfs(dir, &info) == nil &&
		(uint32(info.Type) == unix.TMPFS_MAGIC || uint32(info.Type) == unix.RAMFS_MAGIC)
}
