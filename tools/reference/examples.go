package main

import "strings"

// example is a request that runs as it stands against a server of the folder examples, one after the other.
type example struct {
	method, path string // the path with its parameters
	body         string // JSON; empty: none
}

// command is the request as a command line.
func (e example) command() string {
	line := "curl -s"
	if e.method != "GET" && (e.method != "POST" || e.body == "") {
		line += " -X " + e.method
	}
	line += " 'http://127.0.0.1:8377" + e.path + "'"
	if e.body != "" {
		line += " \\\n  -H 'Content-Type: application/json' -d '" + e.body + "'"
	}
	return line
}

// examples has one request for every operation, by method and path as the description has it.
var examples = func() map[string]example {
	out := map[string]example{}
	for _, row := range exampleRows {
		e := example{method: row[1], path: row[2], body: row[3]}
		out[row[1]+" "+row[0]] = e
	}
	return out
}()

// Bodies that come often.
const (
	four = `{"file": "inline-four-flat.engine.yaml"}`
	six  = `{"file": "vee-six-90.engine.yaml"}`
)

// exampleRows are the path of the operation, method, path and body, in a sequence in which each finds what it needs.
var exampleRows = [][4]string{
	{"/api/lineup", "GET", "/api/lineup", ""},
	{"/api/compare", "GET", "/api/compare?files=inline-four-flat.engine.yaml,vee-four-72.engine.yaml", ""},
	{"/api/events", "GET", "/api/events", ""},
	{"/api/engines/{file}", "GET", "/api/engines/vee-six-90.engine.yaml?speed_rpm=4000", ""},
	{"/api/preview", "POST", "/api/preview", `{"file": "vee-six-90.engine.yaml", "edits": [{"path": "layout.pin_split", "text": "30 deg"}]}`},
	{"/api/engines", "POST", "/api/engines", `{"shorthand": "vee-6 60deg 75x75 split 60", "file": "pilot.engine.yaml"}`},
	{"/api/engines/{file}", "PUT", "/api/engines/pilot.engine.yaml", `{"etag": "ETAG", "edits": [{"path": "rod.length", "text": "128 mm"}]}`},
	{"/api/undo", "POST", "/api/undo", ""},
	{"/api/redo", "POST", "/api/redo", ""},
	{"/api/engines/{file}", "DELETE", "/api/engines/pilot.engine.yaml", ""},
	{"/api/orders", "GET", "/api/orders?file=inline-six.engine.yaml&limit=5", ""},
	{"/api/gallery", "GET", "/api/gallery", ""},

	{"/api/balance/counterweights", "POST", "/api/balance/counterweights", `{"file": "single.engine.yaml", "policy": "factor", "factor": "60 %"}`},
	{"/api/balance/shafts", "POST", "/api/balance/shafts", `{"file": "inline-four-flat.engine.yaml", "targets": [{"order": 2, "quantity": "force"}]}`},
	{"/api/balance/bobweights", "POST", "/api/balance/bobweights", `{"file": "vee-eight-90-cross.engine.yaml", "factor_percent": 50}`},
	{"/api/balance/bobweights/card", "POST", "/api/balance/bobweights/card?format=csv", `{"file": "vee-eight-90-cross.engine.yaml"}`},
	{"/api/balance/grade", "POST", "/api/balance/grade", `{"grade": "G16", "mass_kg": 21, "speed_rpm": 6500}`},
	{"/api/balance/correction", "POST", "/api/balance/correction", job},
	{"/api/balance/correction/figure", "POST", "/api/balance/correction/figure?format=svg", job},
	{"/api/balance/tolerances", "POST", "/api/balance/tolerances", `{"file": "inline-four-flat.engine.yaml", "piston_g": 2, "samples": 1000}`},
	{"/api/balance/matching", "POST", "/api/balance/matching", `{"file": "vee-twin-90.engine.yaml", "parts": "kind,id,mass,big end,small end\npiston,A,412 g,,\npiston,B,415 g,,\nrod,C,520 g,,150 g\nrod,D,516 g,,148 g\n"}`},

	{"/api/torque", "POST", "/api/torque", four},
	{"/api/gas", "POST", "/api/gas", four},
	{"/api/power", "POST", "/api/power", `{"file": "inline-four-flat.engine.yaml", "speeds_rpm": [2000, 4000, 6000]}`},
	{"/api/flywheel", "POST", "/api/flywheel", `{"file": "inline-four-flat.engine.yaml", "fluctuation_percent": 1, "speed_rpm": 900}`},
	{"/api/sound", "POST", "/api/sound", `{"file": "vee-eight-90-cross.engine.yaml", "speed_rpm": 3000}`},
	{"/api/sound/loop", "POST", "/api/sound/loop", `{"file": "vee-eight-90-cross.engine.yaml", "speed_rpm": 3000, "seconds": 2}`},

	{"/api/room", "POST", "/api/room", six},
	{"/api/bearings", "POST", "/api/bearings", six},
	{"/api/strength", "POST", "/api/strength", six},
	{"/api/torsion", "POST", "/api/torsion", six},
	{"/api/mounts", "POST", "/api/mounts", four},
	{"/api/space", "POST", "/api/space", four},
	{"/api/parts", "POST", "/api/parts", four},
	{"/api/cost", "POST", "/api/cost", `{"file": "vee-four-72.engine.yaml", "than": "inline-four-flat.engine.yaml"}`},

	{"/api/briefs", "POST", "/api/briefs", `{"copy_of": "pilot-boat.brief.yaml", "name": "Pilot boat, second thoughts", "file": "second.brief.yaml"}`},
	{"/api/briefs/{file}", "GET", "/api/briefs/pilot-boat.brief.yaml", ""},
	{"/api/briefs/{file}", "PUT", "/api/briefs/second.brief.yaml", `{"etag": "ETAG", "edits": [{"path": "priorities.smoothness", "text": "[3, 8]"}]}`},
	{"/api/briefs/{file}", "DELETE", "/api/briefs/second.brief.yaml", ""},
	{"/api/brief-words", "GET", "/api/brief-words", ""},
	{"/api/prices", "GET", "/api/prices", ""},
	{"/api/choice", "POST", "/api/choice", `{"brief": {"file": "pilot-boat.brief.yaml"}, "files": ["vee-four-72.engine.yaml", "vee-six-60-split.engine.yaml"], "estimates": "certain"}`},
	{"/api/choice/doubts", "POST", "/api/choice/doubts", `{"brief": {"file": "pilot-boat.brief.yaml"}, "file": "single.engine.yaml"}`},
	{"/api/choice/figures/{name}", "POST", "/api/choice/figures/worths", `{"brief": {"file": "pilot-boat.brief.yaml"}, "files": ["vee-four-72.engine.yaml", "vee-six-60-split.engine.yaml"], "format": "svg"}`},

	{"/api/studies", "GET", "/api/studies", ""},
	{"/api/studies/{file}", "GET", "/api/studies/pilot-boat-three.study.yaml", ""},
	{"/api/studies", "POST", "/api/studies", `{"base": "vee-four-90-offset-000.engine.yaml", "name": "Vees", "file": "vees.study.yaml"}`},
	{"/api/studies/{file}", "PUT", "/api/studies/vees.study.yaml", `{"etag": "ETAG", "text": "name: Vees\nbase: vee-four-90-offset-000.engine.yaml\nvary: {layout.bank_angle: [70 deg, 85 deg, 100 deg, 115 deg], layout.pin_split: [0 deg, 20 deg]}\nrequire: {firing_evenness: \">= 0.1\"}\nminimise: [force_order_1_against_crank, free_force_order_2]\n"}`},
	{"/api/study-check", "POST", "/api/study-check", `{"file": "vees.study.yaml"}`},
	{"/api/study-words", "GET", "/api/study-words?base=vee-four-90-offset-000.engine.yaml", ""},
	{"/api/studies/{file}/run", "POST", "/api/studies/vees.study.yaml/run", "{}"},
	{"/api/studies/{file}/run", "GET", "/api/studies/vees.study.yaml/run?front=10", ""},
	{"/api/studies/{file}/stop", "POST", "/api/studies/vees.study.yaml/stop", ""},
	{"/api/studies/{file}/points", "GET", "/api/studies/vees.study.yaml/points?most=1000", ""},
	{"/api/studies/{file}/query", "POST", "/api/studies/vees.study.yaml/query", `{"filter": "layout.bank_angle >= 80 deg", "limit": 10}`},
	{"/api/studies/{file}/candidates/{index}", "GET", "/api/studies/vees.study.yaml/candidates/1", ""},
	{"/api/studies/{file}/candidates/{index}/keep", "POST", "/api/studies/vees.study.yaml/candidates/1/keep", `{"file": "kept.engine.yaml"}`},
	{"/api/studies/{file}/candidates/{index}/refine", "POST", "/api/studies/vees.study.yaml/candidates/1/refine", `{"toward": "force_order_1_against_crank", "evaluations": 150}`},
	{"/api/studies/{file}/candidates/{index}/refine", "GET", "/api/studies/vees.study.yaml/candidates/1/refine", ""},
	{"/api/studies/{file}/candidates/{index}/refine/keep", "POST", "/api/studies/vees.study.yaml/candidates/1/refine/keep", `{"file": "refined.engine.yaml"}`},
	{"/api/studies/{file}/candidates/{index}/refine", "DELETE", "/api/studies/vees.study.yaml/candidates/1/refine", ""},
	{"/api/studies/{file}/run", "DELETE", "/api/studies/vees.study.yaml/run", ""},
	{"/api/studies/{file}", "DELETE", "/api/studies/vees.study.yaml", ""},

	{"/api/snapshots", "POST", "/api/snapshots", `{"name": "before the meeting"}`},
	{"/api/snapshots", "GET", "/api/snapshots", ""},
	{"/api/snapshots/{name}/restore", "POST", "/api/snapshots/before%20the%20meeting/restore", ""},
	{"/api/snapshots/{name}", "DELETE", "/api/snapshots/before%20the%20meeting", ""},

	{"/api/figures", "GET", "/api/figures", ""},
	{"/api/figures/{name}", "GET", "/api/figures/phasor-star?file=inline-four-flat.engine.yaml&order=2&format=svg", ""},
	{"/api/tables/{name}", "GET", "/api/tables/compare.csv?file=inline-four-flat.engine.yaml,vee-four-72.engine.yaml", ""},
	{"/api/report", "GET", "/api/report?files=inline-four-flat.engine.yaml&format=md", ""},
	{"/api/checks", "GET", "/api/checks", ""},
	{"/api/sources", "GET", "/api/sources", ""},
	{"/api/version", "GET", "/api/version", ""},
}

// job is a body with a job of the balancing shop.
var job = `{"job": "` + strings.ReplaceAll(strings.Join([]string{
	"permissible: {grade: G16, mass: 21 kg, speed: 6500 rpm}",
	"planes:",
	"  - {at: -123 mm, unbalance: 480 g mm, angle: 37 deg}",
	"  - {at: 123 mm, unbalance: 360 g mm, angle: 205 deg}",
	"sites:",
	"  - {name: web 1, way: mass on, at: -131 mm, angle: 210 deg, radius: 70 mm, most: 20 g}",
	"  - {name: web 8, way: mass on, at: 131 mm, angle: 30 deg, radius: 70 mm, most: 20 g}",
	"",
}, "\n"), "\n", `\n`) + `"}`
