package envelope

// Clearance is the room between two parts where they come nearest over a cycle.
type Clearance struct {
	Kind  string
	Parts string  // the two
	Room  float64 // [m]; negative: they meet
}

func (f *frame) clearances() []Clearance { return nil }
