// Package crew lets several machines work on one study.
package crew
