package analysis_test

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"crankwright/analysis"
)

func TestTry(t *testing.T) {
	list, _ := filepath.Glob("../examples/*.engine.yaml")
	for _, f := range list {
		train := exampleTrain(t, strings.TrimSuffix(filepath.Base(f), ".engine.yaml"))
		d, err := analysis.NewDriver(train)
		if err != nil {
			fmt.Println(f, err)
			continue
		}
		at := time.Now()
		r, err := d.At(analysis.DriveOptions{})
		if err != nil {
			fmt.Println(f, err)
			continue
		}
		t1 := time.Since(at)
		at = time.Now()
		b, err := d.Bearings(r, analysis.BearingOptions{Films: true, Others: true})
		if err != nil {
			fmt.Println(f, err)
			continue
		}
		fmt.Println(filepath.Base(f), t1.Milliseconds(), time.Since(at).Milliseconds(), b.Method, b.NoBeam, b.NoBudget)
		for _, list := range [][]analysis.Carried{b.Mains, b.BigEnds} {
			for _, c := range list[:min(3, len(list))] {
				fmt.Printf("  %s %.1f×%.1f mm %.1f kN %.1f MPa use %.2f ", c.Name, c.Bearing.Diameter*1e3, c.Bearing.Width*1e3, c.Specific.Force/1e3, c.Specific.Peak/1e6, c.Use)
				if c.Film != nil {
					fmt.Printf("film %.2f µm at %v ecc %.3f power %.0f W settled %v touch %d cyc %d mu %.4f\n", c.Film.MinFilm*1e6, c.Film.MinAt, c.Film.MaxEcc, c.Film.MeanPower, c.Film.Settled, c.Film.Touches, c.Film.Cycles, c.Film.Viscosity)
				} else {
					fmt.Println(c.NoFilm)
				}
			}
		}
		for _, p := range b.Policies {
			fmt.Printf("   %s worst %.1f kN mean %.1f\n", p.Name, p.Worst.Force/1e3, p.Mean/1e3)
		}
	}
}

func TestTryTorsion(t *testing.T) {
	list, _ := filepath.Glob("../examples/*.engine.yaml")
	for _, f := range list {
		train := exampleTrain(t, strings.TrimSuffix(filepath.Base(f), ".engine.yaml"))
		d, err := analysis.NewDriver(train)
		if err != nil {
			fmt.Println(f, err)
			continue
		}
		at := time.Now()
		r, err := d.Torsion(0)
		if err != nil {
			fmt.Println(f, err)
			continue
		}
		fmt.Println(filepath.Base(f), time.Since(at).Milliseconds(), "ms; damping", r.Damping, r.Notes, "wheel", train.Flywheel)
		for i, m := range r.Bare[:min(4, len(r.Bare))] {
			fmt.Printf("   mode %d %.1f Hz nodes %d %.2f\n", i, m.Frequency/6.2832, m.Nodes, m.Shape)
		}
		fmt.Println("   winding", r.Winding, "criticals", len(r.Criticals))
		for _, p := range r.Spans {
			fmt.Printf("   %s %.0f N m %.1f MPa at %.0f rpm order %.1f (%.1f)\n", p.Name, p.Torque, p.Stress/1e6, p.Speed*9.5493, float64(p.Order)/2, p.OrderPart/1e6)
		}
		for _, y := range r.Tries {
			fmt.Printf("   try %s ring %.4f k %.0f c %.2f: %.1f MPa at %.0f rpm, twist %.3f deg heat %.0f W\n", y.Kind, y.Damper.Ring, y.Damper.Stiffness, y.Damper.Damping, y.Stress/1e6, y.At*9.5493, y.Twist*57.3, y.Heat)
		}
		for i, k := range r.Kind[:min(4, len(r.Kind))] {
			fmt.Printf("   kind %v worst %.1f size %.0f own %v\n", r.Orders[k.Index].Order, float64(k.Worst)/2, k.Size, i == r.Own)
		}
		fmt.Println("   own", r.Own, "of", len(r.Kind))
	}
}
