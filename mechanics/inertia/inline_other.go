//go:build !amd64

package inertia

func wide() bool { return false }

func addFour(*inline) { panic("inertia: not for this processor") }
