package server

import (
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"
)

// register puts every operation of the API on the mux. This list is the table of contents of OpenAPI.
func (s *Server) register(mux *http.ServeMux) {
	useProblemDetails()
	s.api = humago.New(mux, huma.Config{
		OpenAPI: &huma.OpenAPI{
			OpenAPI: "3.1.0",
			Info: &huma.Info{
				Title: "Crankwright", Version: apiVersion,
				Description: "The workbench's API over one folder of engine files. Lengths are in mm and angles in degrees; " +
					"complex numbers are [real part, imaginary part]. Errors are problem details (RFC 9457).",
				License: &huma.License{Name: "Apache-2.0", Identifier: "Apache-2.0"},
			},
			Components: &huma.Components{Schemas: huma.NewMapRegistry("#/components/schemas/", huma.DefaultSchemaNamer)},
		},
		OpenAPIPath:                  "/openapi",
		Formats:                      huma.DefaultFormats,
		DefaultFormat:                "application/json",
		RejectUnknownQueryParameters: true,
	})
	s.api.OpenAPI().Components.Schemas.Schema(reflect.TypeFor[Event](), true, "Event")
	s.api.OpenAPI().Components.Schemas.Schema(reflect.TypeFor[StudyPointsHead](), true, "StudyPointsHead")
	const engines, balancing, pushing, lasting, standing, space, partsAndCost, choosing, searching, lineUp, snapshots, away, other = "engines", "balancing", "gas and torque", "crank and bearings", "mounts and people", "room and mass", "parts and cost", "brief and choice", "search", "line-up", "snapshots", "take away", "about"

	add(s, http.MethodGet, "/api/lineup", lineUp, "the folder as it stands", s.getLineUp)
	add(s, http.MethodPost, "/api/undo", lineUp, "take the last change back, ours or from outside", s.undo)
	add(s, http.MethodPost, "/api/redo", lineUp, "do again what was undone", s.redo)
	add(s, http.MethodGet, "/api/compare", lineUp, "engines side by side, a row a figure", s.compare)
	add(s, http.MethodGet, "/api/events", lineUp, "server-sent events: an Event whenever the folder changes", s.events, streams)

	add(s, http.MethodGet, "/api/engines/{file}", engines, "one engine with everything that is known of it", s.getEngine)
	add(s, http.MethodPost, "/api/preview", engines, "what a text or some edits would give; nothing is saved", s.preview)
	add(s, http.MethodPut, "/api/engines/{file}", engines, "save a text or edits over a known state of the file", s.putEngine)
	add(s, http.MethodPost, "/api/engines", engines, "a new engine from a shorthand, a copy or a text; never over a file", s.postEngine, created)
	add(s, http.MethodDelete, "/api/engines/{file}", engines, "take an engine out of the folder; undo brings it back", s.deleteEngine)
	add(s, http.MethodGet, "/api/orders", engines, "every firing order that the crank allows, with its measures", s.orders)
	add(s, http.MethodGet, "/api/gallery", engines, "arrangements for a new engine", s.gallery)

	add(s, http.MethodPost, "/api/balance/counterweights", balancing, "what counterweights do, weigh and leave", s.counterweights)
	add(s, http.MethodPost, "/api/balance/shafts", balancing, "the smallest set of balance shafts that brings down what shakes", s.balanceShafts)
	add(s, http.MethodPost, "/api/balance/bobweights", balancing, "the bobweights for the balancing machine", s.bobweights)
	add(s, http.MethodPost, "/api/balance/bobweights/card", balancing, "the same as a card to print", s.bobweightCard,
		returns("text/html", "application/pdf", "image/svg+xml", "image/png", "text/csv"))
	add(s, http.MethodPost, "/api/balance/grade", balancing, "the unbalance that a rotor may keep", s.grade)
	add(s, http.MethodPost, "/api/balance/correction", balancing, "where to drill or add metal so that a measured unbalance disappears", s.correction)
	add(s, http.MethodPost, "/api/balance/correction/figure", balancing, "the same drawn", s.correctionFigure, returns("image/svg+xml", "image/png", "application/pdf"))
	add(s, http.MethodPost, "/api/balance/tolerances", balancing, "how far the balance scatters because the parts do", s.tolerances)
	add(s, http.MethodPost, "/api/balance/matching", balancing, "which weighed piston and rod goes into which cylinder", s.matching)

	add(s, http.MethodPost, "/api/torque", pushing, "torque of gas and inertia, and speed within the cycle", s.torque)
	add(s, http.MethodPost, "/api/gas", pushing, "the working cycle in the cylinders", s.gas)
	add(s, http.MethodPost, "/api/power", pushing, "torque, power, friction and the share of inertia over speed", s.power)
	add(s, http.MethodPost, "/api/flywheel", pushing, "a flywheel for a wanted fluctuation of speed", s.flywheel)
	add(s, http.MethodPost, "/api/sound", pushing, "which orders the exhaust sounds in, by group and together", s.sound)
	add(s, http.MethodPost, "/api/sound/loop", pushing, "whole cycles of the sound, to be repeated without a seam; the volume down before the first playback", s.soundLoop, returns("audio/wav"))

	add(s, http.MethodPost, "/api/room", lasting, "what stands along the crank, and what another spacing or stagger does", s.room)
	add(s, http.MethodPost, "/api/bearings", lasting, "what the bearings carry, and on what film of oil", s.bearings)
	add(s, http.MethodPost, "/api/strength", lasting, "whether the throws of the crank last, by the rule for crankshafts", s.strength)
	add(s, http.MethodPost, "/api/torsion", lasting, "torsional vibration over the range of speeds", s.torsion)

	add(s, http.MethodPost, "/api/mounts", standing, "how the engine swings on its mounts, what reaches the structure and who feels it; better mounts on demand", s.mounts)

	add(s, http.MethodPost, "/api/space", space, "how large and heavy the engine is, as solids, and what comes near to what", s.space)

	add(s, http.MethodPost, "/api/parts", partsAndCost, "what an engine is made of, friction by part, service and cooling", s.parts)
	add(s, http.MethodGet, "/api/prices", partsAndCost, "the price tables that lie in the folder", s.priceTables)
	add(s, http.MethodPost, "/api/cost", partsAndCost, "points for the parts by a price table, and what makes one engine dearer than another", s.cost)

	add(s, http.MethodGet, "/api/briefs/{file}", choosing, "one brief", s.getBrief)
	add(s, http.MethodPut, "/api/briefs/{file}", choosing, "save a text or edits over a known state of a brief", s.putBrief)
	add(s, http.MethodPost, "/api/briefs", choosing, "a new brief from a text, a copy or nothing; never over a file", s.postBrief, created)
	add(s, http.MethodDelete, "/api/briefs/{file}", choosing, "take a brief out of the folder; undo brings it back", s.deleteBrief)
	add(s, http.MethodGet, "/api/brief-words", choosing, "the limits and priorities that a brief may name", s.getBriefWords)
	add(s, http.MethodPost, "/api/choice", choosing, "which engine is best for a brief, how firmly, and what would change that; nothing is saved", s.choose)
	add(s, http.MethodPost, "/api/choice/doubts", choosing, "find how far the estimates of one engine may be off, for the next choice", s.postDoubts)
	add(s, http.MethodPost, "/api/choice/figures/{name}", choosing, "a figure of a choice as SVG, PNG or PDF", s.choiceFigure, returns("image/svg+xml", "image/png", "application/pdf"))

	add(s, http.MethodGet, "/api/studies", searching, "the studies of the folder, and how far they are", s.getStudies)
	add(s, http.MethodGet, "/api/studies/{file}", searching, "the text of a study", s.getStudy)
	add(s, http.MethodPut, "/api/studies/{file}", searching, "save a text over a known state of a study", s.putStudy)
	add(s, http.MethodPost, "/api/studies", searching, "a new study of a base, from a copy or a text; never over a file", s.postStudy, created)
	add(s, http.MethodDelete, "/api/studies/{file}", searching, "take a study out of the folder; undo brings it back, and its results stay", s.deleteStudy)
	add(s, http.MethodPost, "/api/study-check", searching, "what a study says: how many candidates of what, what is wanted of them, how long it takes", s.checkStudy)
	add(s, http.MethodGet, "/api/study-words", searching, "what a study of a base can vary, require and aim at", s.getStudyWords)
	add(s, http.MethodPost, "/api/studies/{file}/run", searching, "search every candidate in the background, or a part by evolution, or go on with it; results that were found in another way are refused", s.runStudy)
	add(s, http.MethodPost, "/api/studies/{file}/stop", searching, "stop the search; what is done is kept", s.stopStudy)
	add(s, http.MethodGet, "/api/studies/{file}/run", searching, "how the search stands, with the front as far as it is found", s.getStudyRun)
	add(s, http.MethodDelete, "/api/studies/{file}/run", searching, "set the results aside in .crankwright, so that the search can begin anew", s.forgetStudyRun)
	add(s, http.MethodGet, "/api/studies/{file}/points", searching, "all candidates that were kept as numbers for pictures: the length of a header (4 bytes, little-endian), "+
		"the header (StudyPointsHead as JSON, padded with blanks to a multiple of 8 bytes with its length), the numbers of the candidates (float64), then a column after the other (float32)",
		s.studyPoints, returns("application/octet-stream"))
	add(s, http.MethodPost, "/api/studies/{file}/query", searching, "candidates that were kept, by a filter in trade words or by SQL", s.queryStudy)
	add(s, http.MethodGet, "/api/studies/{file}/candidates/{index}", searching, "one candidate as an engine", s.getCandidate)
	add(s, http.MethodPost, "/api/studies/{file}/candidates/{index}/keep", searching, "write a candidate as an engine file of the folder; undo takes it out", s.keepCandidate, created)

	add(s, http.MethodPost, "/api/studies/{file}/candidates/{index}/refine", searching, "move a candidate between the steps of its study in the background, so that it gets better and nothing gets worse", s.refineCandidate)
	add(s, http.MethodGet, "/api/studies/{file}/candidates/{index}/refine", searching, "how that stands, with what was found", s.getRefine)
	add(s, http.MethodDelete, "/api/studies/{file}/candidates/{index}/refine", searching, "stop it, or forget what was found", s.stopRefine)
	add(s, http.MethodPost, "/api/studies/{file}/candidates/{index}/refine/keep", searching, "write what was found as an engine file of the folder; undo takes it out", s.keepRefined, created)

	add(s, http.MethodGet, "/api/snapshots", snapshots, "named states of the line-up, newest first", s.getSnapshots)
	add(s, http.MethodPost, "/api/snapshots", snapshots, "keep the line-up under a name", s.postSnapshot, created)
	add(s, http.MethodPost, "/api/snapshots/{name}/restore", snapshots, "put the line-up back to a snapshot; undo takes it back", s.restoreSnapshot)
	add(s, http.MethodDelete, "/api/snapshots/{name}", snapshots, "take a snapshot out of the list; its files are set aside in .crankwright", s.deleteSnapshot)

	add(s, http.MethodGet, "/api/figures", away, "the figures that can be drawn", s.figureList)
	add(s, http.MethodGet, "/api/figures/{name}", away, "a figure as SVG, PNG or PDF", s.figure, returns("image/svg+xml", "image/png", "application/pdf"))
	add(s, http.MethodGet, "/api/tables/{name}", away, "a table as CSV", s.table, returns("text/csv"))
	add(s, http.MethodGet, "/api/report", away, "a report of engines, with the choice for a brief: one self-contained page with the line-up in motion, a PDF, Markdown or CSV", s.report, returns("text/html", "application/pdf", "text/markdown", "text/csv"))

	add(s, http.MethodGet, "/api/checks", other, "the published checks with our values", s.getChecks)
	add(s, http.MethodGet, "/api/sources", other, "the sources that estimates, formulas and checks name by their keys", s.getSources)
	add(s, http.MethodGet, "/api/version", other, "of the program", s.version)
	describe(s.api.OpenAPI().Components.Schemas)
}

// apiVersion is the version of the API; the program's own is in /api/version.
const apiVersion = "1"
