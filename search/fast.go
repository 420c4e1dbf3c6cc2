package search

// The figures of the fast path, by their places.
const (
	force1 = iota
	force2
	force4
	force6
	moment1
	moment2
	moment4
	against1Force
	against1Moment
	evenness
	longest
	shortest
	fastCount
)

// fastKeys returns the keys of the figures that orders and firing alone decide, as package brief names them.
func fastKeys() []string {
	return []string{
		force1: "free_force_order_1", force2: "free_force_order_2", force4: "free_force_order_4", force6: "free_force_order_6",
		moment1: "free_moment_order_1", moment2: "free_moment_order_2", moment4: "free_moment_order_4",
		against1Force: "force_order_1_against_crank", against1Moment: "moment_order_1_against_crank",
		evenness: "firing_evenness", longest: "longest_firing_interval", shortest: "shortest_firing_interval",
	}
}

// orderOf returns the order of a fast figure of inertia; 0 for the others.
func orderOf(fast int) int {
	switch fast {
	case force1, moment1, against1Force, against1Moment:
		return 1
	case force2, moment2:
		return 2
	case force4, moment4:
		return 4
	case force6:
		return 6
	}
	return 0
}

// kindOf returns where spreads and grains hold what belongs to a fast figure of inertia: 0 for a force, 1 for a moment.
func kindOf(fast int) int {
	switch fast {
	case moment1, moment2, moment4, against1Moment:
		return 1
	}
	return 0
}
