package procedures

// DidYouMean is a hint for a word that is not known: the nearest of the known words, or else the first of them.
func DidYouMean(word string, known []string) string { return didYouMean(word, known) }
