package main

import (
	"slices"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/sound"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

// soundFlags are the values of the flags of sound.
type soundFlags struct {
	speed, to, load, seconds, out string
	off, delays                   []string
	stereo, strict, asJSON        bool
	seed                          uint64
	scatter                       string
}

func (a *app) soundVerb() *cobra.Command {
	var v soundFlags
	c := &cobra.Command{
		Use:   "sound FILE",
		Short: "say which orders an engine sounds in, and write it as a sound file",
		Long: `Sound says when the exhaust pulses of an engine come, in each exhaust group and together, and how loud each
order and half order is, at each outlet and at the ear, relative to the firing order of an engine that fires evenly.

With -o it writes an audible preview, a WAV file of 16 bits at 48000 samples a second: the firing pattern of the
engine with one stated shape of pulse. Pipes, silencers and mechanical noise are left out. It stays 12 dB below
full scale at full load and more at part load, and fades in and out; turn the volume down before the first playback all
the same.`,
		Example: `  crankwright sound examples/vee-eight-90-cross.engine.yaml
  crankwright sound engine.yaml --speed '3000 rpm' --load '60 %' --seconds '5 s' -o sound.wav
  crankwright sound engine.yaml --speed '1000 rpm' --to '6000 rpm' --stereo -o ramp.wav
  crankwright sound engine.yaml --off 3 --json
  crankwright sound examples/vee-eight-90-cross.engine.yaml --delay '0 ms' --delay '2 ms'`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
	}
	c.RunE = a.verb(func(args []string) error {
		if v.out == "" {
			for _, name := range []string{"to", "seconds", "stereo", "seed", "scatter"} {
				if c.Flags().Changed(name) {
					return usagef("--%s shapes the sound file; say where to write it with -o", name)
				}
			}
		}
		return a.sound(args[0], &v)
	})
	f := c.Flags()
	f.StringVar(&v.speed, "speed", "", "crank speed, such as '3000 rpm', or idle, rated or limit (default: the rated speed of the file)")
	f.StringVar(&v.to, "to", "", "crank speed at the end of a ramp, such as '6000 rpm' (default: the speed stays)")
	f.StringVar(&v.load, "load", "100 %", "share of the full load, such as '60 %', or light")
	f.StringSliceVar(&v.off, "off", nil, "names of cylinders that do not fire, such as 3 or 3,5")
	f.StringSliceVar(&v.delays, "delay", nil, "how much later each exhaust group is heard, such as '2 ms', once for each group in the sequence of the output")
	f.StringVar(&v.seconds, "seconds", "5 s", "length of the sound file")
	f.BoolVar(&v.stereo, "stereo", false, "two channels: the first exhaust group left, the second right")
	f.StringVar(&v.scatter, "scatter", "3 %", "how much the strength of a pulse varies from cycle to cycle")
	f.Uint64Var(&v.seed, "seed", 1, "seed of the random numbers of that variation")
	f.StringVarP(&v.out, "output", "o", "", "write the sound to this .wav file; - is standard output")
	strictFlag(f, &v.strict)
	f.BoolVar(&v.asJSON, "json", false, "print JSON")
	return c
}

func (a *app) sound(file string, v *soundFlags) error {
	setting, err := v.setting()
	if err != nil {
		return err
	}
	switch {
	case v.out == "-" && v.asJSON:
		return usagef("only one of --json and -o - can go to standard output")
	case v.out == "-" && terminal(a.out) != nil:
		return usagef("-o -: a sound file is no text for a terminal; send it into a pipe or a file")
	case v.out != "" && v.out != "-" && !strings.HasSuffix(strings.ToLower(v.out), ".wav"):
		return usagef("%s: a sound can be written as .wav", v.out)
	}
	e, err := a.read(file, v.strict)
	if err != nil {
		return err
	}
	if setting.Speed, err = namedSpeed(v.speed, e.train.Speeds); err != nil {
		return err
	}
	r, err := e.evaluate(analysis.Options{Speed: setting.Speed})
	if err != nil {
		return err
	}
	setting.Speed = r.Speed
	strength, err := strengths(r.Train, v.off)
	if err != nil {
		return err
	}
	if len(e.train.Gas.Off) == len(e.train.Cylinders) {
		return inputError{spec.Errors{e.src.ErrorAt("gas.off", "no cylinder fires, and so nothing sounds", "leave at least one cylinder out of off")}}
	}
	d, err := report.NewSoundDoc(r.Train, r.Firing, setting, strength)
	if err != nil {
		return commandError{err}
	}
	if v.out != "" {
		if err := a.saveSound(r, setting, strength, v.out); err != nil {
			return err
		}
		if !v.asJSON {
			return nil
		}
	}
	if v.asJSON {
		return a.json(d)
	}
	return a.text(report.SoundText(d, a.screen()))
}

// setting reads the flags.
func (v *soundFlags) setting() (sound.Setting, error) {
	s := sound.Setting{Stereo: v.stereo, Seed: v.seed, Rate: sound.UsualRate}
	if strings.TrimSpace(v.load) == "light" {
		v.load = "0 %"
	}
	if v.to != "" {
		var err error
		if s.To, err = quantityOf[spec.Speed]("to", v.to); err != nil {
			return s, err
		}
		if s.To < sound.LeastSpeed || s.To > sound.MostSpeed {
			return s, usagef("--to: %s is out of range; speeds from 30 to 30000 rpm can be heard", v.to)
		}
	}
	for _, share := range []struct {
		name, text string
		most       float64
		to         *float64
	}{{"load", v.load, 1, &s.Load}, {"scatter", v.scatter, 0.3, &s.Scatter}} {
		q, err := quantityOf[spec.Share](share.name, share.text)
		if err != nil {
			return s, err
		}
		if !(q >= 0 && q <= share.most) {
			return s, usagef("--%s: %s is out of range; 0 to %g %% are possible", share.name, share.text, 100*share.most)
		}
		*share.to = q
	}
	var err error
	if s.Seconds, err = quantityOf[spec.Duration]("seconds", v.seconds); err != nil {
		return s, err
	}
	if !(s.Seconds >= sound.LeastSeconds && s.Seconds <= sound.MostSeconds) {
		return s, usagef("--seconds: %s is out of range; %g to %g s are possible", v.seconds, sound.LeastSeconds, sound.MostSeconds)
	}
	for _, text := range v.delays {
		delay, err := quantityOf[spec.Duration]("delay", text)
		if err != nil {
			return s, err
		}
		if !(delay >= 0 && delay <= sound.MostDelay) {
			return s, usagef("--delay: %s is out of range; 0 to %g ms are possible", text, 1e3*sound.MostDelay)
		}
		s.Delays = append(s.Delays, delay)
	}
	return s, nil
}

// strengths returns the pulses of the cylinders, 0 for those that are off, by the file or by name.
func strengths(t *layout.Train, off []string) ([]float64, error) {
	names := firing.Names(t)
	out := make([]float64, len(names))
	for c := range out {
		out[c] = 1
	}
	for _, c := range t.Gas.Off {
		out[c] = 0
	}
	for _, name := range off {
		c := slices.Index(names, strings.TrimSpace(name))
		if c < 0 {
			return nil, usagef("--off: there is no cylinder %q; there are %s", name, strings.Join(names, ", "))
		}
		out[c] = 0
	}
	return out, nil
}

// saveSound renders the preview and writes it.
func (a *app) saveSound(r *analysis.Result, s sound.Setting, strength []float64, path string) error {
	m, err := sound.Train(r.Train, r.Firing, strength)
	if err != nil {
		return commandError{err}
	}
	channels, err := sound.Render(m, s)
	if err != nil {
		return commandError{err}
	}
	data, err := sound.WAV(channels, s.Rate)
	if err != nil {
		return err
	}
	return a.save(path, data)
}
