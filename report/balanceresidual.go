package report

import (
	"errors"
	"fmt"
	"math/cmplx"
	"slices"
	"strings"

	"crankwright/draw"
	"crankwright/mechanics/balance"
	"crankwright/num"
)

// kgmm gives the size of a phasor [kg m] in kg mm.
func kgmm(c complex128) float64 { return tidy(1e3 * cmplx.Abs(c)) }

// gmm gives an unbalance [kg m] in g mm.
func gmm(u float64) float64 { return tidy(1e6 * u) }

// GradeDoc is the residual unbalance that a balance quality grade allows a rotor: the JSON object that
// balance grade --json prints.
type GradeDoc struct {
	Grade          string          `json:"grade" jsonschema_description:"balance quality grade, such as G6.3"`
	For            string          `json:"for" jsonschema_description:"rotors for which the grade is usual"`
	MassKg         float64         `json:"mass_kg" jsonschema_description:"of the rotor"`
	SpeedRPM       float64         `json:"speed_rpm" jsonschema_description:"of the rotor"`
	EccentricityUm float64         `json:"eccentricity_um" jsonschema_description:"permissible distance of the centre of gravity from the axis, also g mm for each kg"`
	UnbalanceGmm   float64         `json:"unbalance_gmm" jsonschema_description:"permissible for the whole rotor"`
	Planes         []GradePlaneDoc `json:"planes,omitempty" jsonschema_description:"tolerance planes; left out where no distances from them are given"`
	Found          *ResidualDoc    `json:"found,omitempty" jsonschema_description:"what was found on the whole rotor"`
	Limited        bool            `json:"limited,omitempty" jsonschema_description:"the split met a bound of the standard: each plane between 0.3 and 0.7 of the whole"`
	Grades         []GradeRowDoc   `json:"grades" jsonschema_description:"all grades for this mass and speed"`
	Estimated
	Caution string `json:"caution" jsonschema_description:"what the numbers are not good for"`
}

// GradePlaneDoc is the share of one tolerance plane.
type GradePlaneDoc struct {
	DistanceMM     float64 `json:"distance_mm" jsonschema_description:"of the centre of gravity from the plane"`
	PermissibleGmm float64 `json:"permissible_gmm" jsonschema_description:"unbalance that may stay in the plane"`

	Found *ResidualDoc `json:"found,omitempty" jsonschema_description:"what was found in the plane"`
}

// ResidualDoc is an unbalance that was found, held against what may stay.
type ResidualDoc struct {
	FoundGmm     float64 `json:"found_gmm" jsonschema_description:"unbalance that was measured"`
	Within       bool    `json:"within" jsonschema_description:"it may stay: it is not above the permissible unbalance"`
	SharePercent float64 `json:"share_percent" jsonschema_description:"of the permissible unbalance that is used up"`
}

// GradeRowDoc is one grade of the table.
type GradeRowDoc struct {
	Grade          string  `json:"grade" jsonschema_description:"such as G6.3"`
	EccentricityUm float64 `json:"eccentricity_um" jsonschema_description:"permissible distance of the centre of gravity from the axis, also g mm for each kg"`
	UnbalanceGmm   float64 `json:"unbalance_gmm" jsonschema_description:"permissible for the whole rotor"`
	For            string  `json:"for" jsonschema_description:"rotors for which the grade is usual"`
}

// ResidualUnbalance works out what a grade allows a rotor of a mass [kg] at its highest speed ω [rad/s].
// distances are those of the centre of gravity from two tolerance planes [m], or none; found is what is left
// on the whole rotor or in each of the planes [kg m], or none.
func ResidualUnbalance(grade balance.Grade, mass, ω float64, distances, found []float64) (GradeDoc, error) {
	p, err := balance.PermissibleUnbalance(grade, mass, ω)
	if err != nil {
		return GradeDoc{}, err
	}
	d := GradeDoc{
		Grade: grade.Name, For: grade.For, MassKg: mass, SpeedRPM: rpm(ω), EccentricityUm: tidy(1e6 * p.Eccentricity),
		UnbalanceGmm: gmm(p.Unbalance), Caution: Caution,
	}
	for _, g := range balance.Grades() {
		q, err := balance.PermissibleUnbalance(g, mass, ω)
		if err != nil {
			return GradeDoc{}, err
		}
		d.Grades = append(d.Grades, GradeRowDoc{g.Name, tidy(1e6 * q.Eccentricity), gmm(q.Unbalance), g.For})
	}
	switch len(distances) {
	case 0:
	case 2:
		a, b, limited, err := balance.SplitUnbalance(p.Unbalance, distances[0], distances[1])
		if err != nil {
			return GradeDoc{}, err
		}
		d.Limited = limited
		d.Planes = []GradePlaneDoc{
			{DistanceMM: millimetres(distances[0]), PermissibleGmm: gmm(a)}, {DistanceMM: millimetres(distances[1]), PermissibleGmm: gmm(b)},
		}
		if len(found) == 2 {
			for i, permissible := range []float64{a, b} {
				if d.Planes[i].Found, err = residualDoc(found[i], permissible); err != nil {
					return GradeDoc{}, err
				}
			}
		}
	default:
		return GradeDoc{}, fmt.Errorf("%d distances are given; give two, those of the centre of gravity from each plane", len(distances))
	}
	switch {
	case len(found) == 0, len(found) == 2 && len(distances) == 2:
	case len(found) == 1:
		if d.Found, err = residualDoc(found[0], p.Unbalance); err != nil {
			return GradeDoc{}, err
		}
	case len(found) == 2:
		return GradeDoc{}, errors.New("what was found in two planes needs the distances of the centre of gravity from them")
	default:
		return GradeDoc{}, fmt.Errorf("%d unbalances were found; give one for the whole rotor or one for each of two planes", len(found))
	}
	return d, nil
}

func residualDoc(found, permissible float64) (*ResidualDoc, error) {
	r, err := balance.ResidualOf(found, permissible)
	if err != nil {
		return nil, err
	}
	return &ResidualDoc{FoundGmm: gmm(r.Found), Within: r.Within, SharePercent: tidy(100 * r.Share)}, nil
}

// verdict says how what was found compares, after a semicolon; nothing where nothing was found.
func verdict(f *ResidualDoc) string {
	if f == nil {
		return ""
	}
	word := "within"
	if !f.Within {
		word = "above"
	}
	return fmt.Sprintf("; found %s g mm, %s it (%s)", num.Digits(f.FoundGmm, 4), word, percent(f.SharePercent))
}

// ResidualText returns the permissible residual unbalance as text for a terminal.
func ResidualText(d GradeDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(fmt.Sprintf("Permissible residual unbalance, %s", d.Grade))
	s.paragraph("", fmt.Sprintf("A rotor of %s kg at %s rpm. %s is usual for %s.", num.Digits(d.MassKg, 5), num.Digits(d.SpeedRPM, 5), d.Grade, d.For))
	s.blank()
	list := []entry{
		{"whole rotor", num.Digits(d.UnbalanceGmm, 4) + " g mm" + verdict(d.Found)},
		{"centre of gravity", "at most " + num.Digits(d.EccentricityUm, 4) + " µm from the axis (as many g mm for each kg)"},
	}
	for i, p := range d.Planes {
		list = append(list, entry{"plane " + string(rune('A'+i)), fmt.Sprintf("%s g mm, %s mm from the centre of gravity", num.Digits(p.PermissibleGmm, 4), num.Digits(p.DistanceMM, 5)) + verdict(p.Found)})
	}
	s.entries(list)
	if len(d.Planes) > 0 {
		note := "The shares follow the levers, each between 0.3 and 0.7 of the whole; the planes are best the bearings."
		if d.Limited {
			note = "The levers alone would give one plane more than 0.7 of the whole: the standard's bounds 0.3 and 0.7 are used."
		}
		s.paragraph("  ", note)
	}
	s.heading("All grades for this rotor: eccentricity, unbalance, usual for")
	var rows []entry
	for _, g := range d.Grades {
		name := fmt.Sprintf("%-6s %8s µm %8s g mm", g.Grade, num.Digits(g.EccentricityUm, 4), num.Digits(g.UnbalanceGmm, 4))
		rows = append(rows, entry{name, g.For})
	}
	s.entries(rows)
	s.blank()
	s.paragraph("", "Grades and split from ISO 21940-11, read at second hand: hold them against the standard before they bind anyone.")
	s.estimated(d.Estimates)
	s.caution()
	return s.String()
}

// CorrectionDoc is how a measured unbalance is taken away: the JSON object that balance correct --json
// prints.
type CorrectionDoc struct {
	Name       string              `json:"name" jsonschema_description:"name of the engine or rotor; may be empty"`
	Grade      string              `json:"grade,omitempty" jsonschema_description:"balance quality grade that gives the permissible unbalance; left out: it was given itself"`
	Needed     bool                `json:"needed" jsonschema_description:"the rotor was not within the permissible unbalance before"`
	Within     bool                `json:"within" jsonschema_description:"both planes are within the permissible unbalance afterwards"`
	Planes     []CorrectionPlane   `json:"planes" jsonschema_description:"the two planes in which unbalance was measured"`
	Sites      []CorrectionSiteDoc `json:"sites" jsonschema_description:"where metal may be taken off or put on, and what is done there"`
	TakenOffG  float64             `json:"taken_off_g" jsonschema_description:"mass that all sites lose"`
	PutOnG     float64             `json:"put_on_g" jsonschema_description:"mass that all sites gain"`
	Words      []string            `json:"words" jsonschema_description:"what to do, in sentences"`
	DrillPoint string              `json:"drill_point,omitempty" jsonschema_description:"what the point of a drill changes; left out where no hole is drilled"`
	Caution    string              `json:"caution" jsonschema_description:"what the numbers are not good for"`
}

// CorrectionPlane is one measured plane, before and after. Angles count from +z about +x.
type CorrectionPlane struct {
	Name           string  `json:"name" jsonschema_description:"of the plane, as it was given"`
	AtMM           float64 `json:"at_mm" jsonschema_description:"axial place"`
	MeasuredGmm    float64 `json:"measured_gmm" jsonschema_description:"unbalance before the correction"`
	AngleDeg       float64 `json:"angle_deg" jsonschema_description:"heavy side"`
	PermissibleGmm float64 `json:"permissible_gmm" jsonschema_description:"unbalance that may stay in the plane"`
	LeftGmm        float64 `json:"left_gmm" jsonschema_description:"unbalance after the correction"`
	LeftAngleDeg   float64 `json:"left_angle_deg" jsonschema_description:"heavy side after the correction; 0 too where nothing is left"`
	Within         bool    `json:"within" jsonschema_description:"what is left may stay"`
}

// CorrectionSiteDoc is one site and what is done there.
type CorrectionSiteDoc struct {
	Name         string  `json:"name" jsonschema_description:"of the site, as it was given"`
	Way          string  `json:"way" jsonschema:"enum=radial hole,enum=axial hole,enum=radial slug,enum=axial slug,enum=mass off,enum=mass on" jsonschema_description:"what can be done there: drill a hole, drill and fill it with a heavier slug, take mass off, put mass on"`
	AtMM         float64 `json:"at_mm" jsonschema_description:"axial place"`
	AngleDeg     float64 `json:"angle_deg" jsonschema_description:"direction from the axis"`
	RadiusMM     float64 `json:"radius_mm" jsonschema_description:"distance from the axis"`
	DiameterMM   float64 `json:"diameter_mm,omitempty" jsonschema_description:"of the hole or slug; left out: neither"`
	Used         bool    `json:"used" jsonschema_description:"something is done there"`
	Full         bool    `json:"full" jsonschema_description:"the site is used up to its limit"`
	DepthMM      float64 `json:"depth_mm,omitempty" jsonschema_description:"of a hole with a flat bottom, or length of a slug"`
	MassG        float64 `json:"mass_g,omitempty" jsonschema_description:"that goes or comes; of a slug the difference to the metal it replaces"`
	UnbalanceGmm float64 `json:"unbalance_gmm,omitempty" jsonschema_description:"what the site corrects; left out: it is not used"`
}

// CorrectUnbalance solves a job of the balancing shop. name and grade may be empty.
func CorrectUnbalance(name, grade string, planes [2]balance.Plane, sites []balance.Site) (CorrectionDoc, *balance.Correction, error) {
	c, err := balance.Correct(planes, sites)
	if err != nil {
		return CorrectionDoc{}, nil, err
	}
	d := CorrectionDoc{Name: name, Grade: grade, Needed: c.Needed, Within: c.Within[0] && c.Within[1], Words: c.Words(planes, sites), Caution: Caution}
	for i, p := range planes {
		q := CorrectionPlane{
			Name: p.Name, AtMM: millimetres(p.At), MeasuredGmm: gmm(p.Amount), AngleDeg: deg(p.Angle.Wrap(num.Turn)),
			PermissibleGmm: gmm(p.Permissible), LeftGmm: gmm(cmplx.Abs(c.Left[i])), Within: c.Within[i],
		}
		if q.LeftGmm > 0 {
			q.LeftAngleDeg = deg(num.Angle(cmplx.Phase(c.Left[i])).Wrap(num.Turn))
		}
		d.Planes = append(d.Planes, q)
	}
	for _, s := range sites {
		d.Sites = append(d.Sites, CorrectionSiteDoc{
			Name: s.Name, Way: s.Way(), AtMM: millimetres(s.At), AngleDeg: deg(s.Angle.Wrap(num.Turn)),
			RadiusMM: millimetres(s.Radius), DiameterMM: millimetres(s.Diameter),
		})
	}
	for _, u := range c.Uses {
		q, s := &d.Sites[u.Site], sites[u.Site]
		q.Used, q.Full = true, u.Size == s.Limit()
		q.MassG, q.UnbalanceGmm = tidy(1e3*u.Mass), gmm(u.Amount)
		if s.Kind != balance.PlainMass {
			q.DepthMM = millimetres(u.Size)
			if !s.Adds {
				d.DrillPoint = "Depths are those of holes with a flat bottom; with a 118° drill stop a tenth of the diameter earlier at full diameter: its point takes as much, and reaches a fifth of the diameter below the depth given, which the metal must allow."
			}
		}
		if s.Adds {
			d.PutOnG += q.MassG
		} else {
			d.TakenOffG += q.MassG
		}
	}
	d.TakenOffG, d.PutOnG = tidy(d.TakenOffG), tidy(d.PutOnG)
	if slices.ContainsFunc(c.Uses, func(u balance.Use) bool { return sites[u.Site].Adds && sites[u.Site].Kind != balance.PlainMass }) {
		d.Words = append(d.Words, "The mass of a slug is what it gains over the metal that its hole takes away; the slug itself weighs more.")
	}
	return d, c, nil
}

// CorrectionText returns a correction as text for a terminal.
func CorrectionText(d CorrectionDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	name := d.Name
	if name == "" {
		name = "Rotor"
	}
	s.lead(name + ": correction of the unbalance")
	s.paragraph("", "Angles count from upright, anticlockwise seen from the drive end; a measured or remaining angle is that of the heavy side.")
	planes := draw.CardSection{Heading: "Planes", Heads: []string{"plane", "at [mm]", "measured [g mm]", "angle [deg]", "permissible [g mm]", "left [g mm]", "verdict"}}
	for _, p := range d.Planes {
		verdict := "within"
		if !p.Within {
			verdict = "above"
		}
		planes.Rows = append(planes.Rows, []string{
			p.Name, signed(num.Digits(p.AtMM, 5)), num.Digits(p.MeasuredGmm, 4), num.Digits(p.AngleDeg, 4), num.Digits(p.PermissibleGmm, 4), num.Digits(p.LeftGmm, 3), verdict,
		})
	}
	s.section(planes)
	sites := draw.CardSection{Heading: "What to do", Heads: []string{"site", "way", "angle [deg]", "drill [mm]", "depth [mm]", "mass [g]", "unbalance [g mm]", ""}}
	unused := []string{}
	for _, p := range d.Sites {
		if !p.Used {
			unused = append(unused, p.Name)
			continue
		}
		full := ""
		if p.Full {
			full = "used up"
		}
		sites.Rows = append(sites.Rows, []string{
			p.Name, p.Way, num.Digits(p.AngleDeg, 4), blankZero(p.DiameterMM), blankZero(p.DepthMM), num.Digits(p.MassG, 3), num.Digits(p.UnbalanceGmm, 4), full,
		})
	}
	if len(sites.Rows) > 0 {
		s.section(sites)
	}
	s.heading("In words")
	for _, w := range d.Words {
		s.paragraph("  - ", w)
	}
	if len(unused) > 0 && d.Needed {
		s.paragraph("  - ", "Not used: "+strings.Join(unused, ", ")+".")
	}
	if d.DrillPoint != "" {
		s.paragraph("  - ", d.DrillPoint)
	}
	s.caution()
	return s.String()
}

func blankZero(v float64) string {
	if v == 0 {
		return "–"
	}
	return num.Digits(v, 4)
}
