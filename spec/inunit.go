package spec

import (
	"fmt"
	"strings"
)

// InUnit reads a text such as "2 kN" and returns the number in another unit of the same kind, such as "N". A number
// without a unit is allowed where the unit is 1 or %, and 0 everywhere. The error says what is wrong and what would
// be right.
func InUnit(text, unit string) (float64, error) {
	want := strings.TrimSpace(unit)
	if want == "" {
		want = "1"
	}
	number, given, bad := splitNumber(text)
	if bad != nil {
		if bad.allowed != "" {
			return 0, bad
		}
		return 0, fmt.Errorf("%s; a number%s is needed", bad.what, inWords(want))
	}
	plain, per := want == "1", want == "%"
	switch {
	case given == want, given == "" && (plain || number == 0):
		return number, nil
	case given == "":
		if per {
			return number * 100, nil
		}
		return 0, fmt.Errorf("%q has no unit; write it, such as '%s %s'", strings.TrimSpace(text), formatNumber(number), want)
	}
	to, unknown := parseUnit(want)
	if unknown != "" {
		return 0, fmt.Errorf("%q is not in %s", strings.TrimSpace(text), want)
	}
	from, unknown := parseUnit(given)
	if unknown != "" {
		return 0, fmt.Errorf("%q is not a unit; a number%s is needed", unknown, inWords(want))
	}
	if from.powers != to.powers {
		return 0, fmt.Errorf("%s is not a unit of what is measured in %s; a number%s is needed", given, want, inWords(want))
	}
	return number * (from.factor / to.factor), nil
}

func inWords(unit string) string {
	if unit == "1" {
		return " without a unit"
	}
	return " in " + unit
}
