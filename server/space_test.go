package server

import (
	"math"
	"testing"

	"crankwright/report"
)

// TestSpaceFollowsTheDraft asks for room and mass with an edit that is not saved, and for what cannot be.
func TestSpaceFollowsTheDraft(t *testing.T) {
	b := start(t)
	var was, iron, study report.SpaceDoc
	b.want(200, "POST", "/api/space", on(flat4, map[string]any{}), &was)
	b.want(200, "POST", "/api/space", on(flat4, map[string]any{"edits": []Edit{set("block.metal", "cast-iron")}}), &iron)
	if iron.DryKg <= was.DryKg+10 || iron.Deck.Block != "cast-iron" {
		t.Errorf("%g kg of aluminium, %g kg of %s", was.DryKg, iron.DryKg, iron.Deck.Block)
	}
	if len(was.Solids) < 50 || len(was.Swept.OutlineMM) != 360 || was.BoreStroke != nil {
		t.Errorf("%d solids, an outline of %d points", len(was.Solids), len(was.Swept.OutlineMM))
	}
	b.want(200, "POST", "/api/space", on(flat4, map[string]any{"edits": []Edit{set("block.dry_mass", "131 kg")}, "bore_stroke": true}), &study)
	if math.Abs(study.DryKg-131) > 1e-6 || study.BoreStroke == nil || study.BoreStroke.Slope < 2 {
		t.Errorf("%+v", study.BoreStroke)
	}
	b.want(422, "POST", "/api/space", on(flat4, map[string]any{"edits": []Edit{set("block.dry_mass", "2 kg")}}), nil)
	b.want(422, "POST", "/api/space", on(flat4, map[string]any{"edits": []Edit{set("block.metal", "wood")}}), nil)
}
