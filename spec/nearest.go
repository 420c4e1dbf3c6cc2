package spec

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Nearest returns the candidate that is most like the word, or "" where none is like it: at most
// a third of its letters may have to change.
func Nearest(word string, candidates []string) string {
	best, bestDistance := "", 1+(len(word)+2)/3
	for _, as := range []string{spelled(word), word} {
		for _, c := range candidates {
			d := editDistance(strings.ToLower(as), strings.ToLower(c), bestDistance)
			if d < bestDistance {
				best, bestDistance = c, d
			}
		}
	}
	return best
}

// spelled writes the digit with which a word begins in letters: four-stroke for 4-stroke, 4 stroke and 4stroke. A word that
// begins otherwise, or is a number, stays.
func spelled(word string) string {
	if len(word) < 2 || word[0] < '1' || word[0] > '9' || word[1] >= '0' && word[1] <= '9' {
		return word
	}
	return numberWords[word[0]-'0'] + "-" + strings.TrimLeft(word[1:], " -_")
}

// tradeWords are what people call some keys of a brief or an engine, and these keys.
var tradeWords = map[string][]string{
	"mass": {"lightness", "dry_mass"}, "weight": {"lightness", "dry_mass", "mass"}, "price": {"cost", "cost_index"},
	"size": {"compactness", "length", "width", "height"}, "room": {"compactness", "length", "width", "height"},
	"capacity": {"displacement"}, "volume": {"displacement"}, "rpm": {"speed", "speeds", "rated"}, "revs": {"speed", "speeds", "rated"},
	"vibration": {"smoothness", "peak_free_force", "peak_free_moment"}, "balance": {"smoothness", "peak_free_force", "peak_free_moment"},
	"life": {"durability", "crank_acceptability"}, "reliability": {"durability", "crank_acceptability"},
	"strength": {"durability", "crank_acceptability"}, "maintenance": {"service", "service_score"}, "complexity": {"simplicity", "part_count"},
}

// suggest returns the candidates that a word may mean: those that people call so, else the one that is most like it, else
// those that have all its parts.
func suggest(word string, candidates []string) []string {
	var list []string
	for _, name := range tradeWords[strings.ToLower(word)] {
		if slices.Contains(candidates, name) {
			list = append(list, name)
		}
	}
	if near := Nearest(word, candidates); near != "" && len(list) == 0 {
		list = append(list, near)
	}
	if len(list) > 0 {
		return list
	}
	parts := wordParts(word)
	for _, c := range candidates {
		if within(parts, wordParts(c)) {
			list = append(list, c)
		}
	}
	return list
}

// wordParts are the words of which a key is made, without the s of a plural.
func wordParts(key string) []string {
	parts := strings.FieldsFunc(strings.ToLower(key), func(r rune) bool { return !unicode.IsLetter(r) })
	for i, p := range parts {
		parts[i] = strings.TrimSuffix(p, "s")
	}
	return parts
}

// within tells whether all of some words are among others.
func within(some, others []string) bool {
	for _, s := range some {
		if !slices.Contains(others, s) {
			return false
		}
	}
	return len(some) > 0
}

// orNearest returns the question about the words that may be meant, or what is allowed where there are none.
func orNearest(word string, candidates []string, allowed string) string {
	if list := suggest(word, candidates); len(list) > 0 {
		return asMeant(list)
	}
	return allowed
}

// asMeant asks whether one of the words is meant.
func asMeant(list []string) string {
	quoted := make([]string, len(list))
	for i, word := range list {
		quoted[i] = strconv.Quote(word)
	}
	return "did you mean " + oneOf(quoted) + "?"
}

// editDistance returns the number of letters to insert, delete, change or swap to get from a to
// b, or limit where it is not less than that.
func editDistance(a, b string, limit int) int {
	ra, rb := []rune(a), []rune(b)
	if len(ra) > 64 || len(ra)-len(rb) >= limit || len(rb)-len(ra) >= limit {
		return limit
	}
	rows := make([][]int, len(ra)+1)
	for i := range rows {
		rows[i] = make([]int, len(rb)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(ra); i++ {
		for j := 1; j <= len(rb); j++ {
			cost := 1
			if ra[i-1] == rb[j-1] {
				cost = 0
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+cost)
			if i > 1 && j > 1 && ra[i-1] == rb[j-2] && ra[i-2] == rb[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return min(limit, rows[len(ra)][len(rb)])
}
