package balance

// What a tool takes where nobody says: common practice, from memory.
const (
	// Steel is the density of the steel of which cranks and shafts are made [kg/m³].
	Steel = 7850.0
	// UsualRoom is the clearance between counterweights and piston skirts [m].
	UsualRoom = 2e-3
)
