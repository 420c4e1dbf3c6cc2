package independent

import (
	"embed"
	"fmt"
	"math"
	"strconv"
	"strings"

	"crankwright/mechanics/gas"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

//go:embed cycles/*.scipy.txt
var cycleFiles embed.FS

// Cycle is one cylinder at one point of operation.
type Cycle struct {
	Stem    string // of its files
	Linkage motion.Linkage
	Bore    float64 // [m]
	Ratio   float64 // compression ratio [1]
	Setting gas.Setting
}

// Cycles returns the cylinders whose gas is computed twice, invented ones of a harbour pilot boat and its tenders.
//
// Result [-]: a throttled one with spark ignition, a boosted one with compression ignition, a two-stroke, and one that
// does not fire; all with walls, valves or ports, and properties that follow temperature and mixture. Definition.
func Cycles() []Cycle {
	petrol := Cycle{
		Stem: "petrol-throttled", Linkage: motion.Linkage{Radius: 0.043, Length: 0.145, Offset: 0.0008}, Bore: 0.086, Ratio: 10.5,
		Setting: gas.Setting{
			Speed: 2500 * math.Pi / 30, Intake: 0.55e5, Temperature: 310, Exhaust: 1.03e5, Fuel: gas.Petrol(1),
			Release: gas.SparkRelease(num.Degrees(-24), num.Degrees(58)), Wall: &gas.Wall{Temperature: 430},
		},
	}
	diesel := Cycle{
		Stem: "diesel-boosted", Linkage: motion.Linkage{Radius: 0.06, Length: 0.2}, Bore: 0.105, Ratio: 16.5,
		Setting: gas.Setting{
			Speed: 2200 * math.Pi / 30, Intake: 2.2e5, Temperature: 325, Exhaust: 2.0e5, Fuel: gas.DieselFuel(1.7),
			Release: gas.DieselRelease(num.Degrees(-4), 0.15, num.Degrees(8), num.Degrees(65)), Wall: &gas.Wall{Temperature: 450, Factor: 1.1},
		},
	}
	twoStroke := Cycle{
		Stem: "two-stroke", Linkage: motion.Linkage{Radius: 0.036, Length: 0.13}, Bore: 0.074, Ratio: 8.2,
		Setting: gas.Setting{
			Cycle: layout.TwoStroke, Speed: 4500 * math.Pi / 30, Intake: 1.25e5, Temperature: 320, Exhaust: 1.05e5, Fuel: gas.Petrol(0.92),
			Release: gas.SparkRelease(num.Degrees(-22), num.Degrees(50)), Wall: &gas.Wall{Temperature: 440},
		},
	}
	motored := petrol
	motored.Stem, motored.Setting.Motored = "petrol-motored", true
	motored.Linkage.Offset, motored.Setting.Intake, motored.Setting.Speed = 0.012, 0.9e5, 1500*math.Pi/30
	all := []Cycle{petrol, diesel, twoStroke, motored}
	for i := range all {
		v := gas.TypicalValves(all[i].Bore, all[i].Setting.Cycle)
		all[i].Setting.Valves = &v
	}
	return all
}

// Solve computes the steady cycle by mechanics/gas.
//
// Result [Pa], [K], [J], and the errors of gas.NewChamber and gas.Solve. Definition.
func (c Cycle) Solve() (*gas.Result, error) {
	chamber, err := gas.NewChamber(c.Linkage, c.Bore, c.Ratio)
	if err != nil {
		return nil, err
	}
	c.Setting.Chamber = chamber
	return gas.Solve(c.Setting)
}

// DescribeCycle writes a cylinder as gas.py reads it.
//
//   - c: one of Cycles
//
// Result in SI units and [rad]: see README.md. Definition.
func DescribeCycle(c Cycle) []byte {
	var b strings.Builder
	line := func(item string, values ...float64) {
		b.WriteString(item)
		for _, v := range values {
			b.WriteString(" " + strconv.FormatFloat(v, 'g', -1, 64))
		}
		b.WriteString("\n")
	}
	s := &c.Setting
	turns := float64(s.Cycle.Period() / num.Turn)
	line("name " + c.Stem)
	line("linkage", c.Linkage.Radius, c.Linkage.Length, c.Linkage.Offset)
	line("chamber", c.Bore, c.Ratio)
	line("cycle", turns)
	line("samples", 720*turns)
	line("speed", s.Speed)
	line("intake", s.Intake, s.Temperature)
	line("exhaust", s.Exhaust)
	line("wall", s.Wall.Temperature, max(s.Wall.Factor, map[bool]float64{true: 1}[s.Wall.Factor == 0]))
	for i, o := range [2]gas.Opening{s.Valves.Intake, s.Valves.Exhaust} {
		line("valve "+[2]string{"intake", "exhaust"}[i], float64(o.Opens), float64(o.Closes), o.Area)
	}
	if !s.Motored {
		for _, w := range s.Release {
			line("release", w.Share, float64(w.Start), float64(w.Duration), w.A, w.M)
		}
		premixed := 0.0
		if s.Fuel.Premixed {
			premixed = 1
		}
		line("fuel", s.Fuel.Lambda, s.Fuel.HeatingValue, s.Fuel.Air, premixed)
	}
	return []byte(b.String())
}

// RawCycle is what gas.py printed for one cylinder.
type RawCycle struct {
	Header      []string
	Angle       []float64 // from firing top dead centre [rad]
	Pressure    []float64 // [Pa]
	Temperature []float64 // [K]
	Work, Wall  float64   // [J]
	Trapped     float64   // [kg]
	ExhaustT    float64   // [K]
}

// CommittedCycle returns the committed output of gas.py for one cylinder.
//
//   - stem: of the cylinder's files
//
// Result in [rad], [Pa], [K], [J], [kg]; an error where there is none. Definition.
func CommittedCycle(stem string) (*RawCycle, error) {
	text, err := cycleFiles.ReadFile("cycles/" + stem + ".scipy.txt")
	if err != nil {
		return nil, fmt.Errorf("independent: no raw output of the cycle %s: make independent writes it", stem)
	}
	return ParseCycle(string(text))
}

// ParseCycle reads the output of gas.py.
//
//   - text: header lines that start with #, lines of a name and a number, lines of three numbers
//
// Result in [rad], [Pa], [K], [J], [kg]; an error that names the line. Definition.
func ParseCycle(text string) (*RawCycle, error) {
	r := &RawCycle{}
	named := map[string]*float64{"work_J": &r.Work, "wall_J": &r.Wall, "trapped_kg": &r.Trapped, "exhaust_K": &r.ExhaustT}
	for i, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		if note, ok := strings.CutPrefix(line, "#"); ok {
			r.Header = append(r.Header, strings.TrimSpace(note))
			continue
		}
		var to []*float64
		f := strings.Fields(line)
		switch {
		case len(f) == 2 && named[f[0]] != nil:
			to, f = []*float64{named[f[0]]}, f[1:]
		case len(f) == 3:
			r.Angle, r.Pressure, r.Temperature = append(r.Angle, 0), append(r.Pressure, 0), append(r.Temperature, 0)
			n := len(r.Angle) - 1
			to = []*float64{&r.Angle[n], &r.Pressure[n], &r.Temperature[n]}
		default:
			return nil, fmt.Errorf("independent: line %d of the cycle is neither three numbers nor a known name and a number", i+1)
		}
		for k, text := range f {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil || v-v != 0 { // infinite or not a number
				return nil, fmt.Errorf("independent: line %d of the cycle: %q is no finite number", i+1, text)
			}
			*to[k] = v
		}
	}
	if len(r.Angle) == 0 {
		return nil, fmt.Errorf("independent: the cycle has no numbers")
	}
	return r, nil
}

// CycleGap is how far two computations of a cycle are from each other.
type CycleGap struct {
	Pressure    float64 // largest over the samples, over the peak [1]
	Temperature float64 // likewise [1]
	Work, Wall  float64 // over the work and the heat of the other [1]
	Trapped     float64 // likewise [1]
}

// Worst returns the largest of the gaps [1]. Definition.
func (g CycleGap) Worst() float64 { return max(g.Pressure, g.Temperature, g.Work, g.Wall, g.Trapped) }

// CompareCycle measures how far a result is from the output of gas.py.
//
//   - r: our result
//   - raw: of the same cylinder
//
// Result [1]; an error where the samples are not the same. Definition.
func CompareCycle(r *gas.Result, raw *RawCycle) (CycleGap, error) {
	if len(raw.Angle) != len(r.Pressure) {
		return CycleGap{}, fmt.Errorf("independent: %d samples against %d", len(raw.Angle), len(r.Pressure))
	}
	var g CycleGap
	peak, hottest := 0.0, 0.0
	for j, p := range raw.Pressure {
		if math.Abs(raw.Angle[j]-float64(r.Angle(j))) > 1e-9 {
			return CycleGap{}, fmt.Errorf("independent: sample %d stands at %.9g rad, ours at %.9g rad", j, raw.Angle[j], float64(r.Angle(j)))
		}
		peak, hottest = max(peak, p), max(hottest, raw.Temperature[j])
		g.Pressure = max(g.Pressure, math.Abs(r.Pressure[j]-p))
		g.Temperature = max(g.Temperature, math.Abs(r.Temperature[j]-raw.Temperature[j]))
	}
	off := func(ours, other float64) float64 { return math.Abs(ours/other - 1) }
	return CycleGap{
		Pressure: g.Pressure / peak, Temperature: g.Temperature / hottest,
		Work: off(r.Work, raw.Work), Wall: off(r.Balance.Wall, raw.Wall), Trapped: off(r.Trapped, raw.Trapped),
	}, nil
}
