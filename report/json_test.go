package report_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/num"
	"crankwright/report"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// contract is the object with the documented keys only, as a program outside would declare it.
type contract struct {
	Name      string  `json:"name"`
	SpeedRPM  float64 `json:"speed_rpm"`
	Estimates []struct {
		Key    string  `json:"key"`
		Value  float64 `json:"value"`
		Rule   string  `json:"rule"`
		Source string  `json:"source"`
	} `json:"estimates"`
	Balance struct {
		Reference float64 `json:"reference_mm"`
		Orders    []struct {
			Order float64 `json:"order"`
			Force struct {
				With    [2]float64 `json:"with_crank_N"`
				Against [2]float64 `json:"against_crank_N"`
				Major   float64    `json:"major_N"`
				Minor   float64    `json:"minor_N"`
				Axis    float64    `json:"axis_deg"`
			} `json:"force"`
			Moment struct {
				With    [2]float64 `json:"with_crank_Nm"`
				Against [2]float64 `json:"against_crank_Nm"`
				Major   float64    `json:"major_Nm"`
				Minor   float64    `json:"minor_Nm"`
				Axis    float64    `json:"axis_deg"`
			} `json:"moment"`
			Roll   [2]float64 `json:"roll_Nm"`
			Torque [2]float64 `json:"inertia_torque_Nm"`
		} `json:"orders"`
		PeakForce  float64 `json:"peak_force_N"`
		PeakMoment float64 `json:"peak_moment_Nm"`
		PeakTorque float64 `json:"peak_inertia_torque_Nm"`
	} `json:"balance"`
	Firing struct {
		Order     []string           `json:"order"`
		At        []float64          `json:"at_deg"`
		Intervals []float64          `json:"intervals_deg"`
		TDC       map[string]float64 `json:"tdc_deg"`
	} `json:"firing"`
}

func read(t *testing.T, name string) (contract, *analysis.Result) {
	t.Helper()
	r := engine(t, name)
	data, err := report.JSON(r)
	if err != nil {
		t.Fatal(err)
	}
	var c contract
	if err := json.Unmarshal(data, &c); err != nil {
		t.Fatal(err)
	}
	return c, r
}

// TestContractFlatFour reads the documented keys and holds them against the closed form of
// docs/notation.md.
func TestContractFlatFour(t *testing.T) {
	c, _ := read(t, "flat-four")
	if c.Name != "Flat four in line" || c.SpeedRPM != 6000 || len(c.Estimates) != 0 {
		t.Errorf("head: %q %v rpm, %d estimates", c.Name, c.SpeedRPM, len(c.Estimates))
	}
	const r, l, m = 0.045, 0.145, 0.38 + 0.55*40/145
	ω, λ := 6000*math.Pi/30, r/l
	a2 := λ + math.Pow(λ, 3)/4 + 15*math.Pow(λ, 5)/128 + 35*math.Pow(λ, 7)/512
	want := 4 * m * r * ω * ω * a2
	found := false
	for _, o := range c.Balance.Orders {
		if o.Order != 2 {
			if o.Order == 1 {
				t.Errorf("order 1 of a flat four has content: %+v", o)
			}
			continue
		}
		found = true
		with, against := complex(o.Force.With[0], o.Force.With[1]), complex(o.Force.Against[0], o.Force.Against[1])
		if math.Abs(o.Force.Major-want) > 1e-4*want || o.Force.Minor > 1e-9*want || math.Abs(o.Force.Axis-90) > 1e-9 {
			t.Errorf("order 2: major %v, want %v; minor %v, axis %v", o.Force.Major, want, o.Force.Minor, o.Force.Axis)
		}
		if cmplx.Abs(with-complex(0, want/2)) > 1e-4*want || cmplx.Abs(against-complex(0, want/2)) > 1e-4*want {
			t.Errorf("order 2: with %v, against %v, want %vi each", with, against, want/2)
		}
		if o.Moment.Major != 0 || o.Roll[0] == 0 && o.Roll[1] == 0 || o.Torque[0] == 0 && o.Torque[1] == 0 {
			t.Errorf("order 2: moment %v, roll %v, torque %v", o.Moment.Major, o.Roll, o.Torque)
		}
	}
	if !found {
		t.Error("there is no order 2")
	}
	if got := strings.Join(c.Firing.Order, "-"); got != "1-3-4-2" {
		t.Errorf("order %s", got)
	}
	for i, a := range c.Firing.Intervals {
		if a != 180 || c.Firing.At[i] != 180*float64(i) {
			t.Errorf("firing %d at %v, then %v", i, c.Firing.At[i], a)
		}
	}
	if c.Firing.TDC["1"] != 0 || c.Firing.TDC["2"] != 180 || len(c.Firing.TDC) != 4 {
		t.Errorf("top dead centres %v", c.Firing.TDC)
	}
}

// TestContractRebuildsCurves sums the orders of the object and compares with the curves of the result.
func TestContractRebuildsCurves(t *testing.T) {
	c, r := read(t, "odd-pair")
	if c.Balance.Orders[0].Order != 0.5 {
		t.Errorf("the half order is missing: first is %v", c.Balance.Orders[0].Order)
	}
	peak := 0.0
	for j, θ := range r.Angles {
		force, moment := complex(0, 0), complex(0, 0)
		torque, roll := 0.0, 0.0
		for _, o := range c.Balance.Orders {
			e := num.Angle(o.Order * float64(θ)).Unit()
			force += complex(o.Force.With[0], o.Force.With[1])*e + complex(o.Force.Against[0], o.Force.Against[1])*cmplx.Conj(e)
			moment += complex(o.Moment.With[0], o.Moment.With[1])*e + complex(o.Moment.Against[0], o.Moment.Against[1])*cmplx.Conj(e)
			torque += real(complex(o.Torque[0], o.Torque[1]) * e)
			roll += real(complex(o.Roll[0], o.Roll[1]) * e)
		}
		peak = math.Max(peak, cmplx.Abs(force))
		for _, d := range []float64{
			(real(force) - r.Curves.ForceY[j]) / c.Balance.PeakForce, (imag(force) - r.Curves.ForceZ[j]) / c.Balance.PeakForce,
			(real(moment) - r.Curves.MomentY[j]) / c.Balance.PeakMoment, (imag(moment) - r.Curves.MomentZ[j]) / c.Balance.PeakMoment,
			(torque - r.Curves.Torque[j]) / c.Balance.PeakTorque, (roll - r.Curves.Roll[j]) / r.Peaks.Roll,
		} {
			if math.Abs(d) > 1e-5 { // orders beyond 12 are not in the object
				t.Fatalf("at %v deg the orders miss the curve by %g of the peak", θ.Deg(), d)
			}
		}
	}
	if peak > c.Balance.PeakForce*(1+1e-5) || peak < 0.999*c.Balance.PeakForce {
		t.Errorf("peak_force_N is %v, the largest sample %v", c.Balance.PeakForce, peak)
	}
}

// TestSchema holds real output against the published schema, every part of it asked for.
func TestSchema(t *testing.T) {
	text, err := report.Schema()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource("result", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := compiler.Compile("result")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"flat-four", "vee-six", "odd-pair", "single"} {
		r := engine(t, name)
		data, err := report.Encode(report.NewDocument(r, report.Detail{Curves: true, Contributions: true, Sweep: []float64{100, 200}}))
		if err != nil {
			t.Fatal(err)
		}
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(v); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		object := v.(map[string]any)
		delete(object, "balance")
		if schema.Validate(object) == nil {
			t.Errorf("%s: the schema accepts a result without balance", name)
		}
	}
}

// TestSchemasDescribeEveryKey holds that every key of every published schema says what it is.
func TestSchemasDescribeEveryKey(t *testing.T) {
	type object struct {
		Properties map[string]struct {
			Description string `json:"description"`
		} `json:"properties"`
	}
	for _, published := range report.Schemas() {
		text, err := published.Write()
		if err != nil {
			t.Fatal(err)
		}
		var schema struct {
			object
			Defs map[string]object `json:"$defs"`
		}
		if err := json.Unmarshal(text, &schema); err != nil {
			t.Fatal(err)
		}
		objects := map[string]object{"the whole": schema.object}
		maps.Copy(objects, schema.Defs)
		for name, o := range objects {
			for key, p := range o.Properties {
				if p.Description == "" {
					t.Errorf("%s: %s of %s has no description", published.File(), key, name)
				}
			}
		}
	}
}

func TestEncodeRefusesWhatIsNoNumber(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1)} {
		if _, err := report.Encode(map[string]float64{"v": v}); err == nil {
			t.Errorf("%v left the program", v)
		}
	}
}

func TestEncodeKeepsTexts(t *testing.T) {
	in := map[string]any{"a": "[\n 1,\n 2\n]", "b": []float64{1, -2.5e-7}, "c": []float64{}}
	data, err := report.Encode(in)
	if err != nil {
		t.Fatal(err)
	}
	var out map[string]any
	if err := json.Unmarshal(data, &out); err != nil {
		t.Fatal(err)
	}
	if out["a"] != in["a"] || !strings.Contains(string(data), `"b": [1, -2.5e-7]`) && !strings.Contains(string(data), `"b": [1, -2.5e-07]`) {
		t.Errorf("got %s", data)
	}
}
