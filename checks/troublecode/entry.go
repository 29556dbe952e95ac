// The rule of this file: one code answers with one entry, and a code that is
// not of this trade answers with none, never with a neighbour's.

package troublecode

import (
	"fmt"
	"slices"
	"sync"
)

// Entry is what one code of the trade says.
type Entry struct {
	Code        Code
	Class       Class
	Bank        int // 1 or 2; 0 where the code names no bank
	Sensor      int // 1 to 3, 1 nearest the engine; 0 where the code names none
	Cylinder    int // of a misfire code; 0 where the code names none
	Description string
	Advice      Advice
	Source      string
}

// Position is the place as written, such as B1S1; "bank 1" where the code names
// no sensor, and empty where it names no bank.
func (e Entry) Position() string {
	switch {
	case e.Bank == 0:
		return ""
	case e.Sensor == 0:
		return fmt.Sprintf("bank %d", e.Bank)
	}
	return fmt.Sprintf("B%dS%d", e.Bank, e.Sensor)
}

// entries is every code in order of number; it is written once, here.
var entries = sync.OnceValue(func() []Entry {
	return sorted(slices.Concat(sensorEntries(), bankEntries(), swapEntries(), misfireEntries()))
}) // made when it is needed: it would slow every start

// All lists every code of the trade in order of number.
func All() []Entry {
	all := slices.Clone(entries())
	for i := range all {
		all[i].Advice.First = slices.Clone(all[i].Advice.First)
	}
	return all
}

// Find returns the entry of that code.
func Find(code Code) (Entry, bool) {
	i, found := slices.BinarySearchFunc(entries(), code, func(e Entry, c Code) int { return int(e.Code) - int(c) })
	if !found {
		return Entry{}, false
	}
	e := entries()[i]
	e.Advice.First = slices.Clone(e.Advice.First)
	return e, true
}

// Elsewhere is the code that says the same of another place: P0135 at bank 2
// sensor 1 is P0155. A sensor of 0 asks for a code of the whole bank.
func (e Entry) Elsewhere(bank, sensor int) (Entry, bool) {
	for _, other := range entries() {
		same := other.Class == e.Class && says(other.Code) == says(e.Code)
		if same && e.Bank > 0 && other.Bank == bank && other.Sensor == sensor {
			return Find(other.Code)
		}
	}
	return Entry{}, false
}

// Gap says what a code is about that stands among the oxygen sensor codes and
// is not one of them.
func Gap(code Code) (about string, is bool) {
	for _, g := range gaps {
		if code >= g.from && code <= g.to {
			return g.about, true
		}
	}
	return "", false
}

// Explain is one sentence for any code: its entry, or why it has none.
func Explain(code Code) string {
	if e, ok := Find(code); ok {
		return fmt.Sprintf("%s: %s", code, e.Description)
	}
	if about, ok := Gap(code); ok {
		return fmt.Sprintf("%s: not an oxygen sensor, although its neighbours are; it is about %s", code, about)
	}
	switch {
	case code.Padding():
		return "00 00: padding, no code"
	case code.Owner() == "maker":
		return fmt.Sprintf("%s: a %s code that the vehicle's maker defined; look in the maker's service information", code, code.System())
	case code.Owner() == "reserved":
		return fmt.Sprintf("%s: a %s code of a reserved range; read it again, then look in the maker's service information", code, code.System())
	}
	return fmt.Sprintf("%s: a standard %s code outside this trade; look in the vehicle's service information", code, code.System())
}

func sensorEntries() []Entry {
	var all []Entry
	for _, f := range sensors {
		for i, code := range f.codes {
			if code == 0 {
				continue
			}
			e := Entry{Code: code, Class: f.class, Bank: 1 + i/3, Sensor: 1 + i%3}
			e.Description = fmt.Sprintf("oxygen sensor, bank %d sensor %d: %s", e.Bank, e.Sensor, f.says)
			all = append(all, e)
		}
	}
	return all
}

func bankEntries() []Entry {
	var all []Entry
	for _, p := range banks {
		for i, code := range p.codes {
			all = append(all, Entry{Code: code, Class: p.class, Bank: 1 + i, Description: fmt.Sprintf("bank %d: %s", 1+i, p.says)})
		}
	}
	return all
}

func swapEntries() []Entry {
	said := func(code Code, sensor int) Entry {
		return Entry{Code: code, Class: LeadsSwapped, Sensor: sensor,
			Description: fmt.Sprintf("oxygen sensors, sensor %d: the leads of bank 1 and bank 2 are exchanged", sensor)}
	}
	return []Entry{said(swappedFronts, 1), said(swappedRears, 2)}
}

func misfireEntries() []Entry {
	all := []Entry{{Code: misfireAny, Class: Misfire, Description: "misfire in no one cylinder, or in several"}}
	for n := 1; n <= lastCylinder; n++ {
		code := misfireAny | Code(n/10<<4|n%10)
		all = append(all, Entry{Code: code, Class: Misfire, Cylinder: n, Description: fmt.Sprintf("misfire in cylinder %d", n)})
	}
	return all
}

// sorted puts the entries in order and gives each its advice and source.
func sorted(all []Entry) []Entry {
	given := advice()
	for i := range all {
		all[i].Advice = given[all[i].Class]
		all[i].Source = Source
	}
	slices.SortFunc(all, func(a, b Entry) int { return int(a.Code) - int(b.Code) })
	return all
}

// says is the fault of a code without its place.
func says(code Code) string {
	for _, f := range sensors {
		if slices.Contains(f.codes[:], code) {
			return f.says
		}
	}
	for _, p := range banks {
		if slices.Contains(p.codes[:], code) {
			return p.says
		}
	}
	return ""
}
