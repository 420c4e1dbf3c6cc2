package report_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/sound"
	"crankwright/report"
)

func soundDoc(t *testing.T, r *analysis.Result, load float64, strength, delays []float64) *report.SoundDoc {
	t.Helper()
	d, err := report.NewSoundDoc(r.Train, r.Firing, sound.Setting{Speed: r.Speed, Load: load, Delays: delays}, strength)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestSoundDoc holds the object to what follows from the layout without any program.
func TestSoundDoc(t *testing.T) {
	r, err := analysis.Run(vee8(t), analysis.Options{Speed: 100 * math.Pi}) // 3000 rpm
	if err != nil {
		t.Fatal(err)
	}
	d := soundDoc(t, r, 0.5, nil, nil)
	if d.FiringOrder != 4 || math.Abs(d.FiringHz-200) > 1e-9 || d.SpeedRPM != 3000 || len(d.Pulses) != 8 || len(d.Groups) != 2 {
		t.Errorf("%+v", d)
	}
	if want := -12 + 20*math.Log10(0.6); math.Abs(d.PeakDB-want) > 1e-6 {
		t.Errorf("the preview peaks at %g dB, want %g dB", d.PeakDB, want)
	}
	for _, o := range d.Orders {
		if (o.EarDB != nil) != (math.Mod(o.Order, 4) == 0) {
			t.Errorf("order %g at the ear: %v", o.Order, o.EarDB)
		}
		if math.Abs(o.Hz-50*o.Order) > 1e-9 || len(o.GroupsDB) != 2 {
			t.Errorf("%+v", o)
		}
		// banks of a cross-plane vee eight: half orders and multiples of 4, nothing in orders 1, 2, 3
		half, four := math.Mod(o.Order, 1) != 0, math.Mod(o.Order, 4) == 0
		if (o.GroupsDB[0] != nil) != (half || four) {
			t.Errorf("order %g in the first bank: %v", o.Order, o.GroupsDB[0])
		}
	}
	// −6.02 dB: half the cylinders
	if v := *d.Orders[7].GroupsDB[0] - *d.Orders[7].EarDB; math.Abs(v+20*math.Log10(2)) > 2e-3 {
		t.Errorf("one bank lies %g dB under both", v)
	}
	one := []float64{1, 1, 0, 1, 1, 1, 1, 1}
	lame := soundDoc(t, r, 1, one, []float64{0, 0.002})
	if !slices.Equal(lame.Silent, []string{r.Train.Cylinders[2].Name}) || len(lame.Pulses) != 7 || lame.Groups[1].DelayMS != 2 {
		t.Errorf("%+v", lame)
	}
	if _, err := report.NewSoundDoc(r.Train, r.Firing, sound.Setting{Speed: r.Speed, Load: 2}, nil); err == nil {
		t.Error("twice the full load is accepted")
	}
	data, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{`"intervals_deg":[90,90,90,90,90,90,90,90]`, `"level_dB":null`, `"frequency_Hz":25,`, `"silent":[]`} {
		if !strings.Contains(string(data), key) {
			t.Errorf("the JSON lacks %s", key)
		}
	}
}

func TestSoundText(t *testing.T) {
	narrow := report.Screen{Width: 80}
	golden(t, "sound-vee-six-80", report.SoundText(soundDoc(t, engine(t, "vee-six"), 1, nil, nil), narrow))
	golden(t, "sound-flat-four-off-3-80", report.SoundText(soundDoc(t, engine(t, "flat-four"), 0.6, []float64{1, 1, 0, 1}, nil), narrow))
	golden(t, "sound-single-80", report.SoundText(soundDoc(t, engine(t, "single"), 0, nil, nil), narrow))
}
