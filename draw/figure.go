package draw

import (
	"fmt"
	"strings"
)

// Figure is one finished picture.
type Figure struct {
	ID     string  // begins every id inside; give figures on one page different ones
	Title  string  // one line
	Desc   string  // what the picture says, in words and numbers
	Width  float64 // in units of the drawing, pixels at scale 1
	Height float64

	nodes []node
}

// WithID returns the figure under another id, for pages that show one figure twice.
//
//   - id: letters, digits and hyphens; anything else becomes a hyphen [-]
//
// Result [-]. Definition.
func (f Figure) WithID(id string) Figure {
	f.ID = slug(id)
	return f
}

// longestID bounds an id; a longer one is cut and ends in a hash of the whole.
const longestID = 72

// slug keeps what an id may have: letters, digits, single hyphens.
func slug(s string) string {
	var b strings.Builder
	b.WriteString("cw")
	hyphen := true
	for _, r := range strings.ToLower(strings.TrimPrefix(s, "cw-")) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			if hyphen {
				b.WriteByte('-')
			}
			b.WriteRune(r)
			hyphen = false
		case r > 127: // keep names in other scripts apart
			b.WriteString(fmt.Sprintf("-u%x", r))
			hyphen = true
		default:
			hyphen = true
		}
	}
	if b.Len() <= longestID {
		return b.String()
	}
	h := uint32(2166136261) // FNV-1a
	for _, c := range []byte(b.String()) {
		h = (h ^ uint32(c)) * 16777619
	}
	return b.String()[:longestID-9] + fmt.Sprintf("-%08x", h)
}
