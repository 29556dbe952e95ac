package figuretest

// The rule of this file: beyond the end of a row and of a source there is nothing to compare; everywhere else the words must be
// the same.

import (
	"slices"
	"strings"

	"fenderside/checks/quantity"
)

// Known is what is known of where figures come from.
type Known struct {
	at    map[string][]Figure
	under []*Known // what is known beside it

	measures []quantity.Quantity // what a drawing may round, or give in another unit
}

func knownFrom(texts ...string) *Known {
	k := &Known{}
	k.Says(texts...)
	return k
}

// Says takes sources: each a text whose figures a screen may show as it stands there.
func (k *Known) Says(texts ...string) {
	for _, t := range texts {
		k.take(inRow(words(t)))
	}
}

func (k *Known) take(figures []Figure) {
	if k.at == nil {
		k.at = map[string][]Figure{}
	}
	for _, f := range figures {
		k.at[f.word()] = append(k.at[f.word()], f)
	}
}

// Traces says whether a figure has a source.
func (k *Known) Traces(f Figure) bool {
	for _, u := range k.under {
		if u.Traces(f) {
			return true
		}
	}
	if k.rounded(f) {
		return true
	}
	start, cut := strings.CutSuffix(f.word(), "..")
	if !cut {
		return slices.ContainsFunc(k.at[f.word()], f.fits)
	}
	for word, places := range k.at {
		if strings.HasPrefix(word, start) && slices.ContainsFunc(places, f.fits) {
			return true
		}
	}
	return false
}

// fits says whether the words around a figure are those of a source, as far as both go.
func (f Figure) fits(source Figure) bool {
	from, to := -min(f.at, source.at), min(len(f.row)-f.at, len(source.row)-source.at)
	last := source.at == len(source.row)-1 && len(f.row) == 1 && len(f.word()) > 2 // the end of a text in a row of its own
	if to-from == 1 && bare.MatchString(f.word()) && (len(f.row) > 1 || len(source.row) > 1) && !last {
		return false // no word is compared: a number is a source where it stands alone
	}
	for i := -1; i >= from; i-- {
		if strings.HasSuffix(f.row[f.at+i], "..") {
			break // what is shown before it was cut there
		}
		if !alike(f.row[f.at+i], source.row[source.at+i]) {
			return false
		}
	}
	for i := range to {
		if !alike(f.row[f.at+i], source.row[source.at+i]) {
			return false
		}
		if strings.HasSuffix(f.row[f.at+i], "..") {
			break // and what is shown after it is something else
		}
	}
	return true
}

// alike says whether a word that is shown, perhaps cut or as the first of a sentence, is that of a source.
func alike(shown, source string) bool {
	if start, cut := strings.CutSuffix(shown, ".."); cut {
		return strings.HasPrefix(source, start)
	}
	return shown == source || len(shown) == len(source) && len(shown) > 1 && shown[1:] == source[1:] && strings.EqualFold(shown[:1], source[:1])
}
