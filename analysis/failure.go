package analysis

import (
	"errors"
	"strings"

	"crankwright/mechanics/mount"
)

// Said returns what an error of this package, or of a chapter that it runs, says without the name of the chapter [-].
// Definition.
func Said(err error) string {
	text := err.Error()
	for _, chapter := range []string{"gas: ", "torque: ", "sound: ", "bearing: ", "strength: ", "torsion: ", "parts: ", "envelope: ", "motion: ", "inertia: ", "mount: ", "person: "} {
		text = strings.ReplaceAll(strings.TrimPrefix(text, chapter), ": "+chapter, ": ")
	}
	return text
}

// Concerns returns the section of the engine file that an error of this package or of a chapter speaks of: crank, mounts,
// block or gas [-]. Definition.
func Concerns(err error) string {
	chapter, _, _ := strings.Cut(err.Error(), ": ")
	switch chapter {
	case "torsion", "bearing", "strength":
		return "crank"
	case "envelope":
		return "block"
	}
	if errors.Is(err, mount.ErrMount) || errors.Is(err, mount.ErrBody) || errors.Is(err, mount.ErrNumerics) {
		return "mounts"
	}
	return "gas"
}
