package server

import "crankwright/analysis"

// GeometryOf returns what a drawing needs of one engine, as the API gives it; tools/vectors writes the
// front end's test vectors with it.
func GeometryOf(r *analysis.Result) *Geometry { return geometryOf(r) }
