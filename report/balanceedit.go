package report

import (
	"fmt"
	"strings"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// EditDoc is a change of an engine file, as spec.Edit takes it: what a tool proposes, ready to be made.
type EditDoc struct {
	Path string `json:"path" jsonschema_description:"key of the engine file"`
	Text string `json:"text" jsonschema_description:"its new value, as the file writes it"`
}

// counterweightsText writes counterweights as the value of crank.counterweights. Nine digits keep them
// readable and leave of a cancelled force less than anyone measures.
func counterweightsText(t *layout.Train, list []layout.Unbalance) string {
	if len(list) == 0 {
		return "none"
	}
	var out []string
	for _, c := range list {
		throw := ""
		if c.Throw > 0 {
			throw = ", throw: " + fileName(t.Throws[c.Throw-1].Name)
		}
		out = append(out, fmt.Sprintf("{at: %s mm, angle: %s deg, unbalance: %s kg mm%s}",
			num.Digits(1e3*c.At, 9), num.Digits(deg(c.Angle), 10), num.Digits(1e3*c.Amount, 9), throw))
	}
	return "[" + strings.Join(out, ", ") + "]"
}
