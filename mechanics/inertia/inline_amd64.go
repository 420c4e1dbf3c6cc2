package inertia

// addFour does the work of plain, four numbers at once.
//
//go:noescape
func addFour(j *inline)
