//go:build !amd64

package inertia

func addFour(*inline) { panic("inertia: not for this processor") }
