package num

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Counted returns a count with its noun.
//
//   - n: the count [1]
//   - one: the noun where there is one
//   - many: the noun for every other count, also 0
//
// Result such as "1 throw", "3 throws" [-]. Definition.
func Counted[N int | uint64](n N, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// List returns words as a sentence joins them.
//
//   - words: any number of them
//   - last: what stands before the last one, and or or
//
// Result such as "1", "1 and 4", "1, 2 and 3" [-]; of no words it is empty. Definition.
func List(words []string, last string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " " + last + " " + words[n-1]
	}
}

// Capital returns a text that begins with a capital.
//
//   - text: any text
//
// Result such as "Mirror images" [-]; of no text it is empty. Definition.
func Capital(text string) string {
	if text == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}
