package home

// The rule kept here: what is offered first is what a person most likely came
// for. It is read off which procedures include which; no name is known here.

import (
	"slices"

	"fenderside/procedures"
)

// Rank is the place of a procedure among the others.
type Rank int

const (
	WholeJob Rank = iota // it is made of jobs, and is no part of another
	Job                  // a job of its own
	MerePart             // others include it, and it includes nothing
)

// Ranks are the ranks of procedures by their names.
func Ranks(list []*procedures.Procedure) map[string]Rank {
	made, included := map[string]bool{}, map[string]bool{}
	for _, p := range list {
		made[p.Name] = len(p.Included) > 0
		for _, part := range p.Included {
			included[part.Name] = true
		}
	}
	ranks := map[string]Rank{}
	for _, p := range list {
		ofJobs := slices.ContainsFunc(p.Included, func(part procedures.Part) bool { return made[part.Name] })
		switch {
		case ofJobs && !included[p.Name]:
			ranks[p.Name] = WholeJob
		case included[p.Name] && !made[p.Name]:
			ranks[p.Name] = MerePart
		default:
			ranks[p.Name] = Job
		}
	}
	return ranks
}

// ordered sorts procedures by their ranks, and leaves them as they were where
// those are the same.
func ordered(list []*procedures.Procedure) []*procedures.Procedure {
	ranks := Ranks(list)
	slices.SortStableFunc(list, func(a, b *procedures.Procedure) int { return int(ranks[a.Name] - ranks[b.Name]) })
	return list
}
