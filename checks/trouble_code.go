// The rule of this file: a code is explained as it stands in the table, never as
// its neighbour, and one that is not there says so.

package checks

import (
	"encoding/hex"
	"fmt"
	"strings"

	"fenderside/checks/quantity"
	"fenderside/checks/troublecode"
)

func troubleCode() Check {
	c := Check{
		Name:    "trouble-code",
		Title:   "What a trouble code says",
		Doc:     "Reads a trouble code, or its two bytes, and says what it reports, at which bank and sensor, and what to look at first. With bank and sensor it gives the code that says the same of another place.",
		Reckons: true,
		Inputs: []Input{
			{Name: "code", Kind: KindText, Doc: "such as P0135, or two bytes such as 01 35"},
			takes("bank", quantity.Number, "another bank, to find the code that says the same of it"),
			takes("sensor", quantity.Number, "another sensor; that of the code when left out"),
		},
		Outputs: []Output{
			{Name: "code", Words: true, Doc: "as it is written"},
			{Name: "bytes", Words: true, Doc: "as it is sent"},
			{Name: "owner", Words: true, Doc: "who defined it"},
			{Name: "class", Words: true, Maybe: true, Doc: "kind of fault"},
			{Name: "place", Words: true, Maybe: true, Doc: "bank and sensor, where the code names them"},
			{Name: "look-at", Words: true, Maybe: true, Doc: "first things first"},
			{Name: "elsewhere", Words: true, Maybe: true, Doc: "the code for the other place"},
		},
		Sources: []string{troublecode.Source},
		Example: Arguments{"code": text("P0135"), "bank": one("2")},
	}
	c.Run = c.runTroubleCode
	return c
}

func (c Check) runTroubleCode(args Arguments) (Result, error) {
	code, err := parseCode(args["code"].Text)
	if err != nil {
		return Result{}, err
	}
	first, second := code.Bytes()
	sent := fmt.Sprintf("%02X %02X", first, second)
	figures := []named{stated("code", code.String()), stated("bytes", sent), stated("owner", code.Owner())}
	lines := []string{
		fmt.Sprintf("%s: letter %s from the top two bits (%s), first digit from the next two, three hexadecimal digits from the rest", sent, code.String()[:1], code.System()),
	}
	entry, known := troublecode.Find(code)
	if known {
		figures = append(figures, stated("class", string(entry.Class)))
		if place := entry.Position(); place != "" {
			figures = append(figures, stated("place", place))
		}
		if look := suspects(entry.Advice.First); look != "" {
			figures = append(figures, stated("look-at", look))
		}
		lines = append(lines, entry.Description, entry.Advice.Why)
	}
	if args.has("bank") || args.has("sensor") {
		other, err := elsewhere(entry, args)
		if err != nil {
			return Result{}, err
		}
		figures = append(figures, stated("elsewhere", other.Code.String()))
		said := "%s says the same of %s"
		if other.Code == code {
			said = "%s is itself the code of %s"
		}
		lines = append(lines, fmt.Sprintf(said, other.Code, other.Position()))
	}
	return c.result(None, troublecode.Explain(code), lines, figures...)
}

// parseCode reads a code as written or as two bytes.
func parseCode(said string) (troublecode.Code, error) {
	compact := strings.Join(strings.Fields(said), "")
	apart := len(strings.Fields(said)) > 1 || strings.Trim(compact, "0123456789") == "" // C123 unspaced is a code that lacks a digit
	if pair, err := hex.DecodeString(compact); err == nil && len(pair) == 2 && apart {
		return troublecode.FromBytes(pair[0], pair[1]), nil
	}
	return troublecode.Parse(strings.TrimSpace(said))
}

func suspects(first []troublecode.Suspect) string {
	var names []string
	for _, s := range first {
		names = append(names, string(s))
	}
	return strings.Join(names, ", then ")
}

func elsewhere(e troublecode.Entry, args Arguments) (troublecode.Entry, error) {
	bank, sensor := e.Bank, e.Sensor
	var err error
	if args.has("bank") {
		if bank, err = args.whole("bank", 1, 4); err != nil {
			return e, err
		}
	}
	if args.has("sensor") {
		if sensor, err = args.whole("sensor", 1, 4); err != nil {
			return e, err
		}
	}
	other, ok := e.Elsewhere(bank, sensor)
	if !ok {
		return e, fmt.Errorf("bank %d, sensor %d: no code in the table says the same of it as %q; look in the maker's information", bank, sensor, clip(args["code"].Text))
	}
	return other, nil
}
