package audit

// The rule of this file: one key's records in one store form one chain, by number and by the digest of the record before.
// Only what is given can be compared; what is missing is said.

import (
	"cmp"
	"slices"
)

// joinChains holds the records given against each other and returns the head of each chain.
func joinChains(standing []*examined) []Head {
	type key struct{ store, fingerprint string }
	chains := map[key][]*examined{}
	jobs := map[string][]*examined{}
	for _, c := range standing {
		k := key{c.Store, c.By.Fingerprint}
		chains[k] = append(chains[k], c)
		jobs[c.Store] = append(jobs[c.Store], c)
	}
	heads := []Head{}
	for k, chain := range chains {
		join(chain)
		last := chain[len(chain)-1]
		heads = append(heads, Head{k.store, last.By.Name, k.fingerprint, last.Chain.Number, last.Digest})
	}
	for _, of := range jobs {
		joinJobs(of)
	}
	slices.SortFunc(heads, func(a, b Head) int {
		return cmp.Or(cmp.Compare(a.Store, b.Store), cmp.Compare(a.Who, b.Who), cmp.Compare(a.Fingerprint, b.Fingerprint))
	})
	return heads
}

// standing leaves out what cannot speak for or against another record: those that are rejected by themselves, or anybody
// could spoil an honest record with a forged one beside it, and second copies of the same bytes.
func standing(all []*examined) []*examined {
	seen := map[string]bool{}
	var out []*examined
	for _, c := range all {
		if c.judge(); c.Verdict != Rejected && !seen[c.Digest] {
			seen[c.Digest] = true
			out = append(out, c)
		}
	}
	return out
}

// copies remarks on records that were given more than once.
func copies(all []*examined) {
	first := map[string]*examined{}
	for _, c := range all {
		if same := first[c.Digest]; same != nil {
			c.note(0, "it is a copy of %q", same.Path)
		} else if c.Digest != "" {
			first[c.Digest] = c
		}
	}
}

const (
	restored    = "the store was brought back from an older backup, and went on from there"
	askForOther = "ask for every record of that key in that store, and for heads kept elsewhere, and find out which one was made again"
)

// join walks one chain by number.
func join(chain []*examined) {
	slices.SortStableFunc(chain, func(a, b *examined) int { return cmp.Compare(a.Chain.Number, b.Chain.Number) })
	if first := chain[0]; first.Chain.Number > 1 {
		first.note(0, "its key's chain begins here at number %d: the records before it were not given", first.Chain.Number)
	}
	for i := 1; i < len(chain); i++ {
		before, c := chain[i-1], chain[i]
		switch step := c.Chain.Number - before.Chain.Number; {
		case step == 0:
			before.contradict("%q has the same number %d in its key's chain and says something else", c.Path, c.Chain.Number)
			c.contradict("%q has the same number %d in its key's chain and says something else", before.Path, c.Chain.Number)
		case step == 1 && c.Chain.Previous != before.Digest && !among(chain, c):
			before.contradict("%q follows it in its key's chain and was linked to other bytes (%s)", c.Path, c.Chain.Previous)
			c.contradict("it was linked to a record with digest %s, and %q in that place has %s", c.Chain.Previous, before.Path, before.Digest)
		case step > 1:
			c.look(0, "the records between are kept elsewhere, were not handed over, or are rejected in this report", "ask for them",
				"between number %d and %d of its key's chain, %d record(s) are missing", before.Chain.Number, c.Chain.Number, step-1)
		}
	}
}

// among says whether another record given, of the number before, is the one that c was linked to.
func among(chain []*examined, c *examined) bool {
	return slices.ContainsFunc(chain, func(o *examined) bool {
		return o.Chain.Number == c.Chain.Number-1 && o.Digest == c.Chain.Previous
	})
}

// contradict rejects a record that cannot be true together with another.
func (c *examined) contradict(what string, args ...any) {
	c.reject(0, askForOther, what, args...)
	c.Findings[len(c.Findings)-1].Innocent = restored
}

// joinJobs looks at the numbers that a store gave its jobs when they were opened.
func joinJobs(of []*examined) {
	slices.SortStableFunc(of, func(a, b *examined) int { return cmp.Compare(a.Number, b.Number) })
	if first := of[0]; first.Number > 1 {
		first.note(0, "its store's jobs begin here at number %d: the record(s) of %d job(s) before it were not given", first.Number, first.Number-1)
	}
	for i := 1; i < len(of); i++ {
		before, c := of[i-1], of[i]
		switch step := c.Number - before.Number; {
		case step == 0:
			before.contradict("%q has the same job number %d in the same store and says something else", c.Path, c.Number)
			c.contradict("%q has the same job number %d in the same store and says something else", before.Path, c.Number)
		case step > 1:
			c.look(0, "those jobs may still be open, or were never begun, or their records were not handed over or are rejected in this report", "ask for them, or look at the laptop's open jobs",
				"between job %d and %d of its store, %d job(s) are missing", before.Number, c.Number, step-1)
		}
	}
}
