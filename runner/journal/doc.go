// Package journal keeps the append-only file of one job.
package journal
