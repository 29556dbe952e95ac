package runner

import (
	"strconv"
	"strings"
	"time"

	"fenderside/checks"
	"fenderside/procedures"
	"fenderside/runner/seal"
)

// unmet lists everything that step i still waits for before it can be completed. It is the only such list: completing a
// step asks it, and so does every screen that shows what is wanted.
func (s *State) unmet(i int, now Moment) []Reason {
	var out []Reason
	st := s.spec(i)
	add := func(r ...Reason) { out = append(out, r...) }
	add(s.needReasons(i)...)
	if len(st.Ways) > 0 && s.steps[i].way == "" {
		add(Reason{Code: WayMissing, Step: st.ID})
	}
	for k, say := range st.Statements {
		if s.holdsIn(i, say.When) && s.steps[i].affirmed&(1<<k) == 0 {
			add(Reason{Code: StatementMissing, Step: st.ID, Detail: number(k)})
		}
	}
	add(s.readingsWanted(i)...)
	for k, ev := range st.Evidence {
		if !ev.Optional && s.holdsIn(i, ev.When) && s.steps[i].evidence[k] == nil {
			add(Reason{Code: EvidenceMissing, Step: st.ID, Item: ev.ID})
		}
	}
	add(s.checksWanted(i)...)
	add(s.waitWanted(i, now)...)
	if s.needsWitness(i, now) && s.steps[i].witness == nil {
		add(Reason{Code: WitnessMissing, Step: st.ID})
	}
	if st.Ask != nil && s.steps[i].answer == "" {
		add(Reason{Code: AnswerMissing, Step: st.ID})
	}
	return out
}

func (s *State) readingsWanted(i int) []Reason {
	var out []Reason
	st := s.spec(i)
	for k, r := range st.Readings {
		rs := s.steps[i].readings[k]
		switch {
		case !s.holdsIn(i, r.When):
		case rs.last:
			out = append(out, Reason{Code: ReadingRefused, Step: st.ID, Item: r.ID})
		case len(rs.values) == 0 && !r.Optional:
			out = append(out, Reason{Code: ReadingMissing, Step: st.ID, Item: r.ID})
		}
	}
	return out
}

func (s *State) checksWanted(i int) []Reason {
	var out []Reason
	st := s.spec(i)
	for k, use := range st.Checks {
		if use.Advice || !s.holdsIn(i, use.When) {
			continue
		}
		got := s.steps[i].computed[k]
		behind, lost := s.lostBehind(&use)
		switch {
		case lost != "":
			out = append(out, Reason{Code: FileMissing, Step: st.ID, Item: behind, Detail: lost})
		case !got.ran:
			out = append(out, Reason{Code: CheckNotPassed, Step: st.ID, Item: use.Name})
		case got.missing != "":
			out = append(out, Reason{Code: FileMissing, Step: st.ID, Item: use.Name, Detail: got.missing})
		case got.verdict == checks.More && takesFile(use):
			out = append(out, Reason{Code: CheckWantsFile, Step: st.ID, Item: use.Name, Detail: got.because})
		case got.verdict == checks.More:
			out = append(out, Reason{Code: CheckWantsMore, Step: st.ID, Item: use.Name, Detail: got.because})
		case got.verdict != checks.Pass:
			out = append(out, Reason{Code: CheckNotPassed, Step: st.ID, Item: use.Name, Detail: got.because})
		}
	}
	return out
}

func (s *State) waitWanted(i int, now Moment) []Reason {
	st := s.spec(i)
	if left := s.pinLeft(i, now); left > 0 {
		return []Reason{{Code: WaitRunning, Step: st.ID, Detail: clock(left)}}
	}
	if st.Wait == nil {
		return nil
	}
	for _, id := range []string{st.Wait.AtLeast.Ref, st.Wait.AtMost.Ref} {
		if s.unknown(id, i) {
			return []Reason{{Code: ReadingMissing, Step: st.ID, Item: id}}
		}
	}
	if !s.steps[i].waiting {
		return []Reason{{Code: WaitNotStarted, Step: st.ID}}
	}
	if s.waitMissed(i, now) {
		return []Reason{{Code: WaitMissed, Step: st.ID, Detail: st.Wait.IfMissed}}
	}
	least, _ := s.duration(st.Wait.AtLeast, i)
	if left := least - since(s.steps[i].waitFrom, now); left > 0 {
		return []Reason{{Code: WaitRunning, Step: st.ID, Detail: clock(left)}}
	}
	return nil
}

// waitMissed says whether the longest time of a timed step has passed. Across a restart it counts as passed.
func (s *State) waitMissed(i int, now Moment) bool {
	w := s.spec(i).Wait
	if w == nil || !w.AtMost.Set || !s.steps[i].waiting {
		return false
	}
	most, ok := s.duration(w.AtMost, i)
	from := s.steps[i].waitFrom
	return !ok || from.Session != now.Session || since(from, now) > most
}

// pinLeft is how long a pinned step still has to run; nothing where it does not run.
func (s *State) pinLeft(i int, now Moment) time.Duration {
	st := s.spec(i)
	if st.Kind != procedures.Pinned || !s.steps[i].running {
		return 0
	}
	least, ok := s.duration(st.Pin.AtLeast, i)
	if !ok {
		return 0
	}
	return max(0, least-since(s.steps[i].waitFrom, now))
}

// needsWitness says whether another person must sign for step i: its author asks for it, or the person who acts may not
// close jobs on their own, and then every gate is witnessed.
func (s *State) needsWitness(i int, now Moment) bool {
	st := s.spec(i)
	if st.Witness {
		return true
	}
	return st.Kind == procedures.Gate && s.job.Roster.May(s.acting().Fingerprint, seal.Record, now.Wall) != nil
}

// unacknowledged lists what of the briefing is not acknowledged yet.
func (s *State) unacknowledged() []Reason {
	var out []Reason
	for i, b := range s.job.briefs {
		if !s.acknowledged[i] {
			out = append(out, Reason{Code: Acknowledgement, Item: b.ID})
		}
	}
	return out
}

// acting is the person whose entries these are now: the incoming one during a handover, else the performer.
func (s *State) acting() Person {
	if s.handover != nil {
		return s.handover.To
	}
	return s.performer
}

func number(n int) string { return strconv.Itoa(n) }

// clock writes a time to wait in whole seconds, rounded up, with a space before each unit's symbol as the SI brochure asks:
// 1 h 2 min 3 s. Parts that are nought are left out.
func clock(d time.Duration) string {
	left := int((d + time.Second - 1) / time.Second)
	var parts []string
	for _, u := range []struct {
		seconds int
		symbol  string
	}{{3600, " h"}, {60, " min"}, {1, " s"}} {
		if n := left / u.seconds; n > 0 || u.seconds == 1 && len(parts) == 0 {
			parts = append(parts, number(n)+u.symbol)
		}
		left %= u.seconds
	}
	return strings.Join(parts, " ")
}
