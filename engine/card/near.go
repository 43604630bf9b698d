package card

import "fmt"

// near gives the one of the known words that word is most likely a slip of,
// or "" when none is close.
func near(word string, known []string) string {
	best, least := "", 1+len(word)/4
	if least > 3 {
		least = 3
	}
	for _, k := range known {
		if d := distance(word, k); d <= least {
			best, least = k, d-1
		}
	}
	return best
}

// hintNear words the next step after an unknown word.
func hintNear(word string, known []string, otherwise string) string {
	if n := near(word, known); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	return otherwise
}

// distance counts the letters to insert, drop or change to make b of a
// (Wagner and Fischer, The String-to-String Correction Problem, J. ACM 1974).
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		left := row[0]
		row[0] = i + 1
		for j := range len(b) {
			up := row[j+1]
			change := left
			if a[i] != b[j] {
				change++
			}
			row[j+1] = min(change, up+1, row[j]+1)
			left = up
		}
	}
	return row[len(b)]
}
