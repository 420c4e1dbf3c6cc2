package brief

import "strings"

// Aim is what a priority means.
type Aim struct {
	Key, Name string
	Means     string // what is good, in words
	Parts     []Part
}

// Aims lists the priorities that a brief may name by a word of the trade, and what each is made of. A
// brief may also give a priority to any measure that has a better side, and make an aim of other parts.
//
// Result: shares relative to each other, which are judgements [1]. Source: PRACTICE.
func Aims() []Aim {
	return []Aim{
		{"smoothness", "Smoothness", "little free force and moment of the first two orders on the block", []Part{
			{"free_force_order_1", 3}, {"free_force_order_2", 3}, {"free_moment_order_1", 2}, {"free_moment_order_2", 2},
		}},
		{"torque_evenness", "Torque evenness", "little uneven torque at the drive end, even firing, a steady speed", []Part{
			{"torque_unevenness", 2}, {"firing_evenness", 1}, {"speed_fluctuation", 1},
		}},
		{"compactness", "Compactness", "short, and then narrow and low", []Part{{"length", 2}, {"width", 1}, {"height", 1}}},
		{"lightness", "Lightness", "little dry mass", []Part{{"dry_mass", 1}}},
		{"low_centre", "Low centre", "a centre of gravity near the crank axis or below it", []Part{{"centre_height", 1}}},
		{"cost", "Cost", "a low cost index", []Part{{"cost_index", 1}}},
		{"simplicity", "Simplicity", "few parts, faces to machine and camshaft drives", []Part{
			{"part_count", 1}, {"machined_faces", 1}, {"camshaft_drives", 1},
		}},
		{"service", "Service", "routine jobs that are easily reached", []Part{{"service_score", 1}}},
		{"cooling", "Cooling", "no cylinder in a hot place", []Part{{"hottest_place", 1}}},
		{"power", "Power", "much brake power", []Part{{"brake_power", 1}}},
		{"economy", "Economy", "little friction", []Part{{"friction_mep", 1}}},
		{"response", "Response", "a small flywheel for the wanted fluctuation of speed", []Part{{"flywheel_inertia", 1}}},
		{"durability", "Durability", "a strong crank, thick oil films, low big-end pressure, little torsional vibration", []Part{
			{"crank_acceptability", 2}, {"oil_film", 2}, {"big_end_pressure", 1}, {"torsion_stress", 1},
		}},
		{"isolation", "Isolation", "little force into the structure at idle and at rated speed", []Part{{"mount_force_idle", 1}, {"mount_force_rated", 1}}},
	}
}

// AimOf returns what a priority means: the aim of that word, or a measure alone. False where there is
// neither, or the measure has no better side.
//
// Result as in Aims, shares [1]. Definition.
func AimOf(key string) (Aim, bool) {
	for _, a := range Aims() {
		if a.Key == key {
			return a, true
		}
	}
	if m, ok := MeasureOf(key); ok && m.Better != 0 {
		side := "less"
		if m.Better > 0 {
			side = "more"
		}
		return Aim{key, m.Name, side + " is better", []Part{{key, 1}}}, true
	}
	return Aim{}, false
}

// Aim returns what a priority of a brief means: the usual aim, or what the brief makes it of.
//
// Result as in Aims, shares [1]. Definition.
func (p Priority) Aim() Aim {
	a, known := AimOf(p.Key)
	if p.Parts == nil {
		return a
	}
	a.Key, a.Parts, a.Means = p.Key, p.Parts, "as the brief makes it"
	if !known {
		a.Name = strings.ReplaceAll(strings.ToUpper(p.Key[:1])+p.Key[1:], "_", " ")
	}
	return a
}
