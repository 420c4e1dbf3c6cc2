package server

import (
	"strings"
	"testing"
	"time"
)

// coarseVees varies the angle between the banks in coarse steps, which pass over the vee of 90 deg, and a word.
const coarseVees = `name: Vees in coarse steps
base: vee-four-90-offset-000.engine.yaml
vary:
  layout.bank_angle: [70 deg, 85 deg, 100 deg, 115 deg]
  layout.pin_split: [0 deg, 20 deg]
require: {firing_evenness: ">= 0.1"}
minimise: [force_order_1_against_crank, free_force_order_2]
`

// startVees serves the study of coarse vees, which has been run.
func startVees(t *testing.T, text string) *bench {
	t.Helper()
	b := start(t, "vee-four-90-offset-000.engine.yaml", four)
	b.put(cranks, text)
	return b
}

func refinePath(index string) string {
	return "/api/studies/" + cranks + "/candidates/" + index + "/refine"
}

// refined waits until the refinement of a candidate has ended.
func (b *bench) refined(index string) StudyRefine {
	b.t.Helper()
	for from := time.Now(); time.Since(from) < time.Minute; time.Sleep(10 * time.Millisecond) {
		var r StudyRefine
		b.want(200, "GET", refinePath(index), nil, &r)
		if r.State != "running" {
			return r
		}
	}
	b.t.Fatal("it does not end")
	return StudyRefine{}
}

// TestRefine moves a candidate between the steps, keeps what was found as an engine, and undo takes it out.
func TestRefine(t *testing.T) {
	b := startVees(t, coarseVees)
	b.search(cranks)
	var r StudyRefine
	b.want(200, "GET", refinePath("1"), nil, &r)
	if r.State != "none" || r.Result != nil {
		t.Errorf("%+v", r)
	}
	b.want(409, "POST", refinePath("1")+"/keep", KeepCandidate{}, nil)
	b.want(200, "POST", refinePath("1"), StudyRefineStart{Toward: "force_order_1_against_crank", Evaluations: 150}, &r)
	if r.Most != 150 || r.Toward != "force_order_1_against_crank" || r.State != "running" && r.State != "done" {
		t.Errorf("%+v", r)
	}
	r = b.refined("1")
	if r.State != "done" || r.Failure != "" || r.Result == nil || !r.Result.Better || r.Done < 10 || r.Result.Evaluations != r.Done {
		t.Fatalf("%+v %+v", r, r.Result)
	}
	d := r.Result
	if m := d.Moved[1]; m.Key != "layout.bank_angle" || m.Name == m.Key || m.Unit != "deg" || m.Before != "85" || m.After == m.Before {
		t.Errorf("%+v", d.Moved)
	}
	if f := d.Figures[0]; f.Wanted != "less" || f.Change != "less" || f.Before == f.After || f.Name == "" || f.Unit == "" {
		t.Errorf("%+v", d.Figures)
	}
	if limit := d.Figures[len(d.Figures)-1]; limit.Wanted != "limit" {
		t.Errorf("%+v", limit)
	}
	if len(d.Settings) == 0 || d.Settings[0].Name == d.Settings[0].Key || !validName(d.File) || !strings.Contains(d.Name, "no. 1 refined") {
		t.Errorf("%+v", d)
	}
	var v EngineView
	b.want(201, "POST", refinePath("1")+"/keep", KeepCandidate{File: "fine"}, &v)
	if v.File != "fine.engine.yaml" || b.disk(v.File) != d.Text || v.Result == nil {
		t.Errorf("%s %+v", v.File, v.Problems)
	}
	b.want(409, "POST", refinePath("1")+"/keep", KeepCandidate{File: "fine"}, nil)
	b.want(422, "POST", refinePath("1")+"/keep", KeepCandidate{File: "../fine"}, nil)
	b.want(201, "POST", refinePath("1")+"/keep", KeepCandidate{}, &v)
	if v.File != d.File {
		t.Errorf("%s, proposed was %s", v.File, d.File)
	}
	b.want(200, "POST", "/api/undo", nil, nil)
	b.want(404, "GET", "/api/engines/"+v.File, nil, nil)
	b.want(200, "POST", "/api/redo", nil, nil)
	b.want(200, "GET", "/api/engines/"+v.File, nil, nil)

	// another way of the same candidate takes the place of the first
	b.want(200, "POST", refinePath("1"), StudyRefineStart{Evaluations: 20}, nil)
	if r = b.refined("1"); r.State != "done" || r.Toward != "" || r.Most != 20 || r.Result.Evaluations > 20 {
		t.Errorf("%+v", r)
	}
	b.want(200, "DELETE", refinePath("1"), nil, &r)
	if r.State != "none" {
		t.Errorf("%+v", r)
	}
	// what is of an earlier state of the study is not shown as that of the present one
	b.want(200, "POST", refinePath("1"), StudyRefineStart{Evaluations: 10}, nil)
	b.refined("1")
	b.want(200, "DELETE", "/api/studies/"+cranks+"/run", nil, nil)
	b.put(cranks, strings.Replace(coarseVees, "85 deg", "86 deg", 1))
	b.want(200, "GET", refinePath("1"), nil, &r)
	if r.State != "none" {
		t.Errorf("%+v", r)
	}
}

// TestRefineFindsNothing says so, and does not keep the candidate under another name.
func TestRefineFindsNothing(t *testing.T) {
	b := startVees(t, strings.Replace(strings.Replace(coarseVees, "85 deg", "90 deg", 1), ", free_force_order_2", "", 1))
	b.want(200, "POST", refinePath("1"), StudyRefineStart{Evaluations: 60}, nil)
	r := b.refined("1")
	if r.State != "done" || r.Result.Better || r.Result.Figures[0].Change != "same" {
		t.Errorf("%+v %+v", r, r.Result)
	}
	b.want(409, "POST", refinePath("1")+"/keep", KeepCandidate{}, nil)
}

// TestRefineStops stops a refinement, lets a few go on at once, and ends them with the server.
func TestRefineStops(t *testing.T) {
	long := StudyRefineStart{Evaluations: 5000}
	b := startVees(t, strings.Replace(coarseVees, "force_order_1_against_crank,", "main_bearing_load, torsion_stress,", 1))
	var r StudyRefine
	for _, index := range []string{"0", "1"} {
		b.want(200, "POST", refinePath(index), long, &r)
		if r.State != "running" || r.Most != 5000 {
			t.Fatalf("%+v", r)
		}
	}
	b.want(200, "POST", refinePath("1"), long, nil) // the same
	b.want(409, "POST", refinePath("1"), StudyRefineStart{}, nil)
	b.want(409, "POST", refinePath("2"), long, nil)
	b.want(409, "POST", refinePath("1")+"/keep", KeepCandidate{}, nil)
	b.want(200, "DELETE", refinePath("1"), nil, &r)
	if r.State != "none" {
		t.Errorf("%+v", r)
	}
	b.want(200, "DELETE", refinePath("1"), nil, nil)
	b.want(200, "POST", refinePath("2"), long, nil)
	for from := time.Now(); r.Done == 0 && time.Since(from) < time.Minute; time.Sleep(10 * time.Millisecond) {
		b.want(200, "GET", refinePath("2"), nil, &r)
	}
	if r.State != "running" || r.Done == 0 {
		t.Errorf("%+v", r)
	}
	if err := b.server.Close(); err != nil {
		t.Fatal(err)
	}
	for _, j := range b.server.refining.jobs {
		if !j.over() {
			t.Errorf("candidate %d goes on after the server has ended", j.key.index)
		}
	}
}

// TestRefineRefuses says why a candidate cannot be refined.
func TestRefineRefuses(t *testing.T) {
	b := startVees(t, coarseVees)
	for number, status := range map[string]int{"8": 404, "9007199254740993": 404, "-1": 422, "x": 422} {
		b.want(status, "POST", refinePath(number), StudyRefineStart{}, nil)
	}
	for _, wrong := range []StudyRefineStart{{Toward: "length"}, {Evaluations: -1}, {Evaluations: 5001}} {
		b.want(422, "POST", refinePath("2"), wrong, nil)
	}
	b.want(404, "POST", strings.Replace(refinePath("2"), cranks, "none.study.yaml", 1), StudyRefineStart{}, nil)
	var c StudyCandidate
	b.want(200, "GET", strings.TrimSuffix(refinePath("2"), "/refine"), nil, &c)
	if c.Fixed != "" {
		t.Error(c.Fixed)
	}

	refused := func(want string) {
		t.Helper()
		var details ProblemDetails
		b.want(422, "POST", refinePath("2"), StudyRefineStart{}, &details)
		b.want(200, "GET", strings.TrimSuffix(refinePath("2"), "/refine"), nil, &c)
		if !strings.Contains(details.Detail, want) || c.Fixed != details.Detail {
			t.Errorf("%q, its card says %q, wanted %q", details.Detail, c.Fixed, want)
		}
	}
	b.put(cranks, fewCranks)
	refused("varies no number")
	b.put(cranks, strings.Replace(coarseVees, ">= 0.1", ">= 0.9", 1))
	refused("candidate 2 is left out")
	// a limit that the analysis alone knows
	b.put(cranks, strings.Replace(coarseVees, `{firing_evenness: ">= 0.1"}`, `{length: "<= 200 mm"}`, 1))
	b.want(200, "POST", refinePath("2"), StudyRefineStart{}, nil)
	if r := b.refined("2"); r.State != "failed" || !strings.Contains(r.Failure, "does not keep length <= 200 mm, which is required") {
		t.Errorf("%+v", r)
	}
}

// TestRefineForgets keeps the last ones that ended.
func TestRefineForgets(t *testing.T) {
	var st refineStore
	ended := make(chan struct{})
	close(ended)
	goesOn := &refineJob{key: refineKey{index: 99}, ended: make(chan struct{})}
	st.jobs = append(st.jobs, goesOn)
	for i := range uint64(30) {
		st.forget(refineKey{index: i})
		st.jobs = append(st.jobs, &refineJob{key: refineKey{index: i}, ended: ended})
	}
	st.forget(refineKey{index: 25})
	if len(st.jobs) != 1+mostRefined || st.jobs[0] != goesOn || st.of(refineKey{index: 25}) != nil || st.of(refineKey{index: 16}) != nil || st.of(refineKey{index: 29}) == nil {
		t.Errorf("%d are known", len(st.jobs))
	}
}
