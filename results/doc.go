// Package results keeps what a study finds in a folder on disk.
package results
