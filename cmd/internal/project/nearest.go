package project

import (
	"strings"
	"unicode"
)

// Nearest returns the candidate that a misspelt word most likely means,
// the earlier of two that are as close, or "" where none is close. Case,
// spaces, hyphens and underscores do not count; one mistake in about three
// letters is forgiven.
func Nearest(word string, candidates []string) string {
	w := plain(word)
	best, least := "", (len([]rune(w))+1)/3+1
	for _, c := range candidates {
		if d := slips(w, plain(c)); d < least {
			best, least = c, d
		}
	}
	return best
}

func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if r == ' ' || r == '-' || r == '_' {
			return -1
		}
		return unicode.ToLower(r)
	}, s)
}

// slips counts the letters to add, drop, change or swap with their neighbour
// that turn a into b (optimal string alignment distance: Damerau, CACM 7(3),
// 1964).
func slips(a, b string) int {
	s, t := []rune(a), []rune(b)
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(s); i++ {
		row[0] = i
		for j := 1; j <= len(t); j++ {
			change := 1
			if s[i-1] == t[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(t)]
}
