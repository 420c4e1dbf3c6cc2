package independent

import (
	"embed"
	"fmt"
	"strconv"
	"strings"

	"crankwright/mechanics/inertia"
)

//go:embed raw/*.txt
var rawFiles embed.FS

// Source is whose computation it is; its text is part of the file name.
type Source string

// The two computations that share nothing with ours.
const (
	Simbody Source = "simbody" // rigid bodies and constraints, simbody/multibody.cpp
	Numeric Source = "numeric" // central differences of positions, numeric.py
)

// Raw is what a program printed for one engine.
type Raw struct {
	Header []string  // versions, settings and reported errors, without the leading #
	Angle  []float64 // crank angle along the turning [rad]
	inertia.Curves
	Energy               []float64 // kinetic energy [J]
	MomentumY, MomentumZ []float64 // [kg m/s]
	MomentumAboutX       []float64 // angular momentum about the crank axis [kg m²/s]
}

func fileName(stem string, s Source) string { return fmt.Sprintf("%s.%s.txt", stem, s) }

// Committed returns the committed raw output for one engine.
//
//   - stem: of the engine's files
//   - s: whose
//
// Result in [rad], [N], [N m], [J], [kg m/s]; an error where there is none. Definition.
func Committed(stem string, s Source) (*Raw, error) {
	name := fileName(stem, s)
	text, err := rawFiles.ReadFile("raw/" + name)
	if err != nil {
		return nil, fmt.Errorf("independent: no raw output %s: make independent writes it", name)
	}
	r, err := ParseRaw(string(text))
	if err != nil {
		return nil, fmt.Errorf("independent: raw/%s: %w", name, err)
	}
	return r, nil
}

// ParseRaw reads the output of simbody/multibody.cpp or numeric.py.
//
//   - text: lines of eleven numbers, and lines that start with # as header
//
// Result in [rad], [N], [N m], [J], [kg m/s]; an error that names the line. Definition.
func ParseRaw(text string) (*Raw, error) {
	r := &Raw{}
	columns := []*[]float64{
		&r.Angle, &r.ForceY, &r.ForceZ, &r.MomentY, &r.MomentZ, &r.Torque, &r.Roll,
		&r.Energy, &r.MomentumY, &r.MomentumZ, &r.MomentumAboutX,
	}
	for i, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		if note, ok := strings.CutPrefix(line, "#"); ok {
			r.Header = append(r.Header, strings.TrimSpace(note))
			continue
		}
		fields := strings.Fields(line)
		if len(fields) != len(columns) {
			return nil, fmt.Errorf("line %d: %d numbers, want %d", i+1, len(fields), len(columns))
		}
		for k, f := range fields {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil || v-v != 0 { // infinite or not a number
				return nil, fmt.Errorf("line %d: %q is no finite number", i+1, f)
			}
			*columns[k] = append(*columns[k], v)
		}
	}
	if len(r.Angle) == 0 {
		return nil, fmt.Errorf("there are no numbers")
	}
	return r, nil
}
