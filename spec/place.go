package spec

import (
	"errors"
	"fmt"
	"strings"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
)

// misfiring returns what is wrong with the firing of a train, for a file that is refused for something else.
func (e *Engine) misfiring(t *layout.Train) Errors {
	if _, err := firing.ForTrain(t); err != nil {
		return e.Placed(err)
	}
	return nil
}

// Placed gives an error of a later chapter its place in the file: a firing order that the crank cannot
// do, a train that cannot exist. An error of the reader is returned as it is.
func (e *Engine) Placed(err error) Errors {
	var own Errors
	var order *firing.ImpossibleOrder
	var both *firing.Contradiction
	var misfits *firing.Misfits
	var problem layout.Problem
	var problems layout.Problems
	at := func(path, what, allowed string) Errors { return Errors{e.ErrorAt(path, what, allowed)} }
	switch {
	case errors.As(err, &own):
		return own
	case errors.As(err, &order), errors.As(err, &both):
		return at("layout.firing_order", err.Error(), "")
	case errors.As(err, &misfits):
		var list Errors
		for i, line := range strings.Split(misfits.Error(), "\n") {
			list = append(list, at(fmt.Sprintf("layout.cylinders[%d].fires_at", misfits.List[i].Cylinder), line, "give one of these")...)
		}
		return list
	case errors.As(err, &problems):
		var list Errors
		for _, p := range problems {
			list = append(list, at(p.Where, p.Where+": "+p.What, p.Limit)...)
		}
		return list
	case errors.As(err, &problem):
		return at(problem.Where, problem.What, problem.Limit)
	default:
		return at("layout", err.Error(), "")
	}
}
