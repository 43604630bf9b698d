package proof

func frenchSyllables(word string) int { return syllables(word) }

func hardFrench(words, sentences, syllables int) (text, hint string) { return "", "" }
