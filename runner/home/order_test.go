package home_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fenderside/procedures"
	"fenderside/runner/home"
)

// A trade in which a tour is made of two jobs, one of which has parts; a check has a part too, and a visit has none.
func TestTheWholeJobComesFirstAndMerePartsLast(t *testing.T) {
	of := func(name string, parts ...string) *procedures.Procedure {
		p := &procedures.Procedure{Name: name}
		for _, part := range parts {
			p.Included = append(p.Included, procedures.Part{Name: part})
		}
		return p
	}
	list := []*procedures.Procedure{of("check", "lamp"), of("clean"), of("fix", "clean", "lamp"), of("lamp"), of("tour", "check", "lamp", "fix", "clean"), of("visit")}
	assert.Equal(t, map[string]home.Rank{"check": home.Job, "clean": home.MerePart, "fix": home.Job, "lamp": home.MerePart,
		"tour": home.WholeJob, "visit": home.Job}, home.Ranks(list))
}

func TestTheProceduresAreOfferedInTheOrderOfTheirRanks(t *testing.T) {
	list, problems := fresh(t).Procedures()
	assert.Empty(t, problems)
	ranks := home.Ranks(list)
	assert.Equal(t, home.WholeJob, ranks[list[0].Name], "what ships has a job made of jobs, and it leads")
	for i, p := range list[1:] {
		before := list[i]
		assert.LessOrEqual(t, ranks[before.Name], ranks[p.Name], "%s before %s", before.Name, p.Name)
		if ranks[before.Name] == ranks[p.Name] {
			assert.Less(t, before.Name, p.Name)
		}
	}
}
