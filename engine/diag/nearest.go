package diag

import "strings"

// Nearest gives the known word that was most likely meant by a misspelled
// one, or "" when none is near. Near is one edit (a letter put in, left out,
// changed, or swapped with its neighbour) for words of up to four letters and
// two for longer ones; letter case does not count. Of equally near words the
// first wins.
func Nearest(word string, known []string) string {
	best, nearest := 3, ""
	for _, k := range known {
		allowed := 2
		if min(len(word), len(k)) <= 4 {
			allowed = 1
		}
		if d := edits(strings.ToLower(word), strings.ToLower(k), allowed); d <= allowed && d < best {
			best, nearest = d, k
		}
	}
	return nearest
}

// edits is the optimal string alignment distance (Damerau's, without editing
// a swapped pair again), or more than limit when it is above that.
func edits(a, b string, limit int) int {
	if len(a)-len(b) > limit || len(b)-len(a) > limit {
		return limit + 1
	}
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
