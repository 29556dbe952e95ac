package seal

// The rule kept here: the armour is read as OpenSSH reads it, byte for byte,
// and not as a PEM reader would, which is laxer.

import (
	"encoding/base64"
	"fmt"
	"strings"
)

const (
	begin = "-----BEGIN SSH SIGNATURE-----\n"
	end   = "\n-----END SSH SIGNATURE-----"
	width = 70 // characters of base64 on a line, as ssh-keygen writes them
)

// armour returns blob as ssh-keygen would write it.
func armour(blob []byte) string {
	text := base64.StdEncoding.EncodeToString(blob)
	var b strings.Builder
	b.WriteString(begin)
	for len(text) > width {
		b.WriteString(text[:width])
		b.WriteByte('\n')
		text = text[width:]
	}
	b.WriteString(text)
	b.WriteString(end)
	b.WriteByte('\n')
	return b.String()
}

// dearmour returns the bytes inside the armour. Text after the last armour
// line is ignored, as OpenSSH ignores it.
func dearmour(text string) ([]byte, error) {
	body, ok := strings.CutPrefix(text, begin)
	if !ok {
		return nil, fmt.Errorf("%w: it must begin with the line %q and nothing may stand before it, not even a blank; lines end in LF alone",
			ErrMalformed, strings.TrimSpace(begin))
	}
	body, _, ok = strings.Cut(body, end)
	if !ok {
		return nil, fmt.Errorf("%w: the line %q is missing; copy the whole signature file", ErrMalformed, strings.TrimSpace(end))
	}
	blob, err := base64.StdEncoding.Strict().DecodeString(dropSpace(strings.TrimSuffix(body, "\x00")))
	if err != nil {
		return nil, fmt.Errorf("%w: what stands between the armour lines is not strict base64 (%v); headers are not allowed", ErrMalformed, err)
	}
	return blob, nil
}

// dropSpace removes the white space that OpenSSH skips: the six ASCII kinds.
func dropSpace(s string) string {
	return strings.Map(func(r rune) rune {
		if r == ' ' || r >= '\t' && r <= '\r' {
			return -1
		}
		return r
	}, s)
}
