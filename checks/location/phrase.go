// The rule of this file: every word of a phrase is read or named as unread;
// none is passed over in silence.

package location

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// longest phrase accepted, in bytes: longer text is no name of a sensor.
const longest = 200

// word is one name found in a phrase, with its readings; an unread word has none.
type word struct {
	text     string
	readings []meaning
}

// read takes a phrase apart.
func read(phrase string) ([]word, error) {
	if !utf8.ValidString(phrase) || strings.ContainsFunc(phrase, unicode.IsControl) {
		return nil, fmt.Errorf("words %q: hold control characters or broken text; type them again", phrase)
	}
	if len(phrase) > longest {
		return nil, fmt.Errorf("words %q...: more than %d characters; name the sensor in a few words", strings.ToValidUTF8(phrase[:40], ""), longest)
	}
	tokens := split(phrase)
	var words []word
	for len(tokens) > 0 {
		w, used := next(tokens)
		words, tokens = append(words, w), tokens[used:]
	}
	if len(words) == 0 {
		return nil, fmt.Errorf("words %q: say nothing of a sensor; try something like %q or %q", phrase, "upstream bank 2", "B2S1")
	}
	return words, nil
}

// split makes small words of a phrase; a catalytic converter is one cat.
func split(phrase string) []string {
	text := strings.NewReplacer("'s", "s", "’s", "s", "s'", "s", "s’", "s", "a/f", "af").Replace(strings.ToLower(phrase))
	var tokens []string
	for _, t := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if dropped()[t] {
			continue
		}
		parts, ok := same()[t]
		if !ok {
			parts = []string{t}
		}
		for _, part := range parts {
			if part != "cat" || len(tokens) == 0 || tokens[len(tokens)-1] != "cat" {
				tokens = append(tokens, part)
			}
		}
	}
	return tokens
}

// next reads the longest name at the start of tokens and says how many it used.
func next(tokens []string) (word, int) {
	if w, used, ok := numbered(tokens); ok {
		return w, used
	}
	for n := min(longestName, len(tokens)); n > 0; n-- {
		text := strings.Join(tokens[:n], " ")
		if readings, ok := vocabulary()[text]; ok && !takesNumber(tokens, n) {
			return word{text, readings}, n
		}
	}
	if m, ok := compact(tokens[0]); ok {
		return m, 1
	}
	return word{text: tokens[0]}, 1
}

// takesNumber reports whether the last of n words is the bank or sensor of a
// number that follows: "rear bank 2" is a rear and a bank 2.
func takesNumber(tokens []string, n int) bool {
	if n < 2 || tokens[n-1] != "bank" && tokens[n-1] != "sensor" {
		return false
	}
	_, _, ok := numbered(tokens[n-1:])
	return ok
}

// numbered reads bank 2, sensor two, cylinder number 4, second bank.
func numbered(tokens []string) (word, int, bool) {
	sorts := map[string]sort{"bank": byBank, "sensor": bySensor, "cylinder": byCylinder}
	if len(tokens) >= 2 && numbers()[tokens[0]] > 0 && tokens[1] == "bank" {
		return word{strings.Join(tokens[:2], " "), []meaning{{sort: byBank, number: numbers()[tokens[0]]}}}, 2, true
	}
	kind, ok := sorts[tokens[0]]
	if !ok {
		return word{}, 0, false
	}
	at := 1
	if at < len(tokens) && tokens[at] == "number" {
		at++
	}
	if at >= len(tokens) {
		return word{}, 0, false
	}
	n, ok := cardinal(tokens[at])
	if !ok {
		return word{}, 0, false
	}
	return word{strings.Join(tokens[:at+1], " "), []meaning{{sort: kind, number: n}}}, at + 1, true
}

// cardinal reads 2 or two, not second.
func cardinal(text string) (int, bool) {
	switch text {
	case "one", "two", "three", "four":
		return numbers()[text], true
	}
	n, err := strconv.Atoi(text)
	return n, err == nil && n >= 0 && n <= 99
}

var (
	bankSensor = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(?:b|bank)([1-9])(?:s|sensor)([1-9])$`) })
	sensorBank = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(?:s|sensor)([1-9])(?:b|bank)([1-9])$`) })
	oneOnly    = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(b|bank|s|sensor|cyl|cylinder)([1-9][0-9]?)$`) })
	standard   = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^h?o2s([1-9])([1-9])$`) }) // HO2S21: bank 2 sensor 1 (SAE J1930, from memory)
)

// compact reads names written in one: b2s1, s1b2, bank2, s1, ho2s21.
func compact(token string) (word, bool) {
	digit := func(s string) int { n, _ := strconv.Atoi(s); return n }
	exact := func(bank, sensor string) (word, bool) {
		return word{token, []meaning{{sort: byPosition, number: digit(bank), sensor: digit(sensor)}}}, true
	}
	if m := bankSensor().FindStringSubmatch(token); m != nil {
		return exact(m[1], m[2])
	}
	if m := standard().FindStringSubmatch(token); m != nil {
		return exact(m[1], m[2])
	}
	if m := sensorBank().FindStringSubmatch(token); m != nil {
		return exact(m[2], m[1])
	}
	if m := oneOnly().FindStringSubmatch(token); m != nil {
		kind := map[byte]sort{'b': byBank, 's': bySensor, 'c': byCylinder}[token[0]]
		return word{token, []meaning{{sort: kind, number: digit(m[2])}}}, true
	}
	return word{}, false
}

// resembling is the known word one or two slips of the finger away, or none.
func resembling(text string) string {
	best, least := "", 3
	for name := range vocabulary() {
		if len(name) < 4 || strings.Contains(name, " ") {
			continue
		}
		if d := slips(text, name); d < least || d == least && d < 3 && name < best {
			best, least = name, d
		}
	}
	return best
}

// slips counts the letters to add, drop or change to make b of a.
func slips(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := diagonal
			if a[i-1] != b[j-1] {
				change++
			}
			diagonal = row[j]
			row[j] = min(change, row[j]+1, row[j-1]+1)
		}
	}
	return row[len(b)]
}
