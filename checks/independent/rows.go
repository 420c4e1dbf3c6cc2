package independent

import (
	"fmt"
	"strconv"
	"strings"
)

// writeRow writes a word and numbers behind it as one line.
func writeRow(b *strings.Builder, word string, values ...float64) {
	b.WriteString(word)
	for _, v := range values {
		b.WriteString(" " + strconv.FormatFloat(v, 'g', 12, 64))
	}
	b.WriteString("\n")
}

// readRows reads lines of a word and finite numbers, and returns those that start with # as header. take says whether a line
// is one that it knows; of is what the text is called in errors, and kinds what its lines are.
func readRows(text, of, kinds string, take func(word string, values []float64) bool) (header []string, err error) {
	for n, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		if note, ok := strings.CutPrefix(line, "#"); ok {
			header = append(header, strings.TrimSpace(note))
			continue
		}
		f := strings.Fields(line)
		var v []float64
		for _, word := range f[min(1, len(f)):] {
			x, err := strconv.ParseFloat(word, 64)
			if err != nil || x-x != 0 {
				return nil, fmt.Errorf("independent: line %d of the %s: %q is no finite number", n+1, of, word)
			}
			v = append(v, x)
		}
		if len(f) == 0 || !take(f[0], v) {
			return nil, fmt.Errorf("independent: line %d of the %s is no %s", n+1, of, kinds)
		}
	}
	return header, nil
}
