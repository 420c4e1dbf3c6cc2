package server

import (
	"encoding/binary"
	"fmt"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"crankwright/report"
)

const flat4 = "inline-four-flat.engine.yaml"

// TestTorqueFollowsTheDraft asks for torque with an edit that is not saved, at part load and with a cylinder off.
func TestTorqueFollowsTheDraft(t *testing.T) {
	b := start(t)
	var full, part, off TorqueAnswer
	ask := func(more map[string]any) any {
		more["speed_rpm"] = 2000
		more["edits"] = []Edit{set("gas.imep", "12 bar"), set("speeds.rated", "2000 rpm")}
		return on(flat4, more)
	}
	b.want(200, "POST", "/api/torque", ask(map[string]any{}), &full)
	if math.Abs(full.Torque.IMEPBar-12) > 1e-3 {
		t.Errorf("the wanted 12 bar come out as %g", full.Torque.IMEPBar)
	}
	b.want(200, "POST", "/api/torque", ask(map[string]any{"load_percent": 40}), &part)
	if math.Abs(part.Torque.BrakeNm-0.4*full.Torque.BrakeNm) > 0.01*full.Torque.BrakeNm {
		t.Errorf("40 %% load give %g of %g N m", part.Torque.BrakeNm, full.Torque.BrakeNm)
	}
	b.want(200, "POST", "/api/torque", ask(map[string]any{"off": []string{"2"}}), &off)
	if len(off.Torque.Impulses) >= len(full.Torque.Impulses) || off.Torque.MeanNm > 0.8*full.Torque.MeanNm {
		t.Errorf("with cylinder 2 off there are %d pushes and %g N m in the mean", len(off.Torque.Impulses), off.Torque.MeanNm)
	}
	if n := len(full.Torque.Curves.TotalNm); n != 720 || len(full.Torque.Curves.Pressures) != 4 {
		t.Errorf("curves have %d values and %d pressures", n, len(full.Torque.Curves.Pressures))
	}
}

// TestTraceThatChanges changes the measured pressure that an engine names, removes it and puts it back: every view follows, each
// time.
func TestTraceThatChanges(t *testing.T) {
	const file, trace = "single-test-engine.engine.yaml", "cylinder-pressure.csv"
	b := start(t, "test-bed/"+file, "test-bed/"+trace)
	whole := b.disk(trace)
	less := ""
	for line := range strings.Lines(whole) {
		at, pressure, _ := strings.Cut(strings.TrimSpace(line), ";")
		if p, err := strconv.ParseFloat(pressure, 64); err == nil {
			line = fmt.Sprintf("%s;%.4f\n", at, 0.7*p)
		}
		less += line
	}
	path := filepath.Join(b.dir, trace)
	means := map[string]float64{}
	for _, step := range []struct{ name, text string }{
		{"whole", whole}, {"less", less}, {"gone", ""}, {"whole again", whole}, {"gone again", ""}, {"less again", less},
	} {
		var err error
		if step.text == "" {
			err = os.Remove(path)
		} else {
			err = os.WriteFile(path, []byte(step.text), 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
		v := b.engine(file)
		var p EngineView
		b.want(200, "POST", "/api/preview", PreviewRequest{Draft: Draft{File: file}}, &p)
		problems := b.lineUp().Engines[0].Problems
		if step.text == "" {
			for _, tool := range []string{"torque", "gas"} {
				var d ProblemDetails
				b.want(422, "POST", "/api/"+tool, on(file, map[string]any{}), &d)
				if !strings.Contains(d.Detail, "there is no file") {
					t.Errorf("%s: %s: %s", step.name, tool, d.Detail)
				}
			}
			if len(v.Problems) != 1 || len(p.Problems) != 1 || problems != 1 {
				t.Errorf("%s: %v, %v, %d problems", step.name, v.Problems, p.Problems, problems)
			}
			continue
		}
		var torque TorqueAnswer
		b.want(200, "POST", "/api/torque", on(file, map[string]any{}), &torque)
		var gas report.GasDoc
		b.want(200, "POST", "/api/gas", on(file, map[string]any{}), &gas)
		mean := torque.Torque.MeanNm
		if means[step.text] == 0 {
			means[step.text] = mean
		}
		if problems != 0 || mean != means[step.text] || v.Result.Torque.MeanNm != mean || p.Result.Torque.MeanNm != mean || gas.Cycles[0].IMEPBar != torque.Torque.IMEPBar {
			t.Errorf("%s: torque %g N m, in the view %g, in the preview %g, before %g; %d problems", step.name, mean, v.Result.Torque.MeanNm, p.Result.Torque.MeanNm, means[step.text], problems)
		}
	}
	if means[less] > 0.8*means[whole] {
		t.Errorf("less pressure gives %g N m instead of %g", means[less], means[whole])
	}
}

// TestFlywheelKeepsTheEngine asks twice: what is wanted once must not stay in the prepared engine.
func TestFlywheelKeepsTheEngine(t *testing.T) {
	b := start(t)
	var d report.FlywheelDoc
	b.want(200, "POST", "/api/flywheel", on(flat4, map[string]any{"fluctuation_percent": 0.5, "speed_rpm": 900, "load_percent": 0}), &d)
	needed := d.NeededKgm2
	if d.WantedPct != 0.5 || len(d.Edits) != 2 || needed <= 0 {
		t.Errorf("%+v", d)
	}
	b.want(200, "POST", "/api/flywheel", on(flat4, map[string]any{"speed_rpm": 900, "load_percent": 0}), &d)
	if d.WantedPct != 2 || d.NeededKgm2 >= needed {
		t.Errorf("the wish of before stays: %g %%, %g kg m²", d.WantedPct, d.NeededKgm2)
	}
}

// TestRefusedWork asks for what cannot be.
func TestRefusedWork(t *testing.T) {
	b := start(t)
	for name, body := range map[string]any{
		"load":             map[string]any{"load_percent": 140},
		"off":              map[string]any{"off": []string{"9"}},
		"no load to share": map[string]any{"load_percent": 50, "edits": []Edit{set("friction.factor", "10")}},
	} {
		if answer, data := b.ask("POST", "/api/torque", on(flat4, body.(map[string]any))); answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s: %s %.200s", name, answer.Status, data)
		}
	}
}

// TestSoundLoop reads the loop back as a WAV file and counts its cycles.
func TestSoundLoop(t *testing.T) {
	b := start(t)
	answer, data := b.ask("POST", "/api/sound/loop", on(vee8, map[string]any{"speed_rpm": 2000, "stereo": true, "seconds": 1}))
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "audio/wav" || string(data[:4]) != "RIFF" {
		t.Fatalf("%s %.80s", answer.Status, data)
	}
	rate := binary.LittleEndian.Uint32(data[24:])
	frames := float64(binary.LittleEndian.Uint32(data[40:])) / 4
	speed, err := strconv.ParseFloat(answer.Header.Get("Crank-Speed"), 64)
	cycles := frames / float64(rate) * speed / 120
	if err != nil || math.Abs(cycles-math.Round(cycles)) > 1e-6 || math.Abs(speed-2000) > 1 {
		t.Errorf("%g rpm, %g cycles, %v", speed, cycles, err)
	}
}
