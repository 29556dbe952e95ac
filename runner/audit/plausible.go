package audit

// The rule of this file: an implausible record is not a wrong one. Every finding here says "look here" and gives an
// innocent explanation; none accuses. The thresholds are this project's own judgement unless a source is named.

import (
	"math"
	"strconv"
	"time"

	"fenderside/checks/quantity"
	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/record"
)

const (
	// quickEntry is the time below which an entry cannot rest on having read its statement: at about four words a second
	// (silent reading of English, around 240 words a minute, from memory of Brysbaert 2019) a statement of four words takes
	// one second, and the thing itself is still to be looked at.
	quickEntry = time.Second

	// quickRun is how many such entries in a row are remarked on. Own judgement: a person who looked at four things
	// together and then confirms them one after the other is at ease.
	quickRun = 5

	// manyRefused is how many values of one reading may be refused before the one that was accepted is remarked on, and
	// manyHeld how often one step may be refused its completion. Own judgement.
	manyRefused = 3
	manyHeld    = 5

	// newAfter is how much newer than its attaching a file may claim to be: camera and laptop clocks differ. Own judgement.
	newAfter = 2 * time.Minute

	// oldBefore is how much older than the job a file may be. A camera that keeps local time without a zone is off by at
	// most 14 hours (the widest offset from UTC in use, +14:00); a day is clear of that.
	oldBefore = 24 * time.Hour

	// dueNear is how near its calibration date a tool is remarked on, and dueFar how far off a date is unusual. ISO 6789
	// has hand torque tools calibrated every 12 months or 5000 cycles (from memory); twice that is unusual for any tool.
	dueNear = 7 * 24 * time.Hour
	dueFar  = 2 * 365 * 24 * time.Hour

	// quickestCooling is the shortest time constant with which hot metal cools. A bare sheet of steel 1 mm thick (7850
	// kg/m³, 490 J/kg·K) in a fan's wind (100 W/m²·K on one side) has 38 s; half of that is not cooling in air.
	quickestCooling = 20 * time.Second

	// coolingRoom is the air that cooling is reckoned towards, in °C, and coolingDrop the fall that is looked at, in K.
	coolingRoom = 20.0
	coolingDrop = 10.0

	// clockAhead is how far a closing time may lie ahead of the audit's own clock.
	clockAhead = 5 * time.Minute
)

// plausible looks at how the job went.
func (a auditor) plausible(c *examined, replay *record.Replay) {
	if c.Mode != runner.Rehearsal { // a script types as fast as it likes
		c.quick()
		c.cooling(replay.Job)
	}
	c.breaks()
	c.refusals()
	c.corrections(replay.Job.Procedure)
	c.instruments()
	c.lowered(replay.Job)
	a.endings(c, replay.State)
}

// isEntry says whether a command confirms or records one thing.
func isEntry(l record.Line) bool {
	switch l.Do.(type) {
	case runner.Affirm, runner.Acknowledge, runner.Read:
		return true
	}
	return false
}

// quick looks for long runs of entries under a second apart.
func (c *examined) quick() {
	run, runs, longest, at := 0, 0, 0, 0
	for i := 1; i < len(c.lines); i++ {
		before, l := c.lines[i-1], c.lines[i]
		if !isEntry(l) || !isEntry(before) || l.Mono-before.Mono >= quickEntry {
			run = 0
			continue
		}
		if run++; run+1 == quickRun {
			runs++
		}
		if run+1 >= quickRun && run+1 > longest {
			longest, at = run+1, i+2-(run+1)
		}
	}
	if runs > 0 {
		c.look(at, "everything was looked at together first, and then entered", "compare a few of these entries with the vehicle",
			"%d entries in a row are less than %s apart (%d such run(s) in the record)", longest, quickEntry, runs)
	}
}

// breaks looks at interruptions whose cause is a clock or the power, and at stretches that nobody signed.
func (c *examined) breaks() {
	back, ahead := tally{}, tally{}
	for _, l := range c.lines {
		for _, e := range l.Events {
			switch e := e.(type) {
			case runner.Interrupted:
				c.interrupted(l.Seq+1, e, &back, &ahead)
			case runner.TakenOver:
				c.look(l.Seq+1, "they fell ill or went home, and the job had to go on", "ask both what was done by then",
					"%s took the job over; nobody signed the stretch of %s", e.By.Name, e.From.Name)
			case runner.WorkStopped:
				c.note(l.Seq+1, "work was stopped: a safeguard was reported lost")
			}
		}
	}
	back.report(c, "the laptop's clock was set right", "compare its times with something outside: photos, a receipt, another record",
		"the wall clock went back %d time(s), by up to %s")
	ahead.report(c, "the laptop slept with its lid closed", "see what was done just before and after",
		"the wall clock ran ahead of the program's own time %d time(s), by up to %s")
}

func (c *examined) interrupted(line int, e runner.Interrupted, back, ahead *tally) {
	switch {
	case e.Drift < 0:
		back.add(line, time.Duration(-e.Drift)*time.Millisecond)
	case e.Cause == runner.ByClock:
		ahead.add(line, time.Duration(e.Drift)*time.Millisecond)
	}
	if e.Cut > 0 {
		c.look(line, "the power failed while a line was being written, which was never acknowledged",
			"ask for the original, kept beside the journal under a name with .torn-",
			"a torn last line of %d bytes was cut off when the job was opened again", e.Cut)
	}
}

// tally counts one kind of thing and keeps its first line and largest size.
type tally struct {
	count, line int
	most        time.Duration
}

func (t *tally) add(line int, size time.Duration) {
	if t.count++; t.count == 1 {
		t.line = line
	}
	t.most = max(t.most, size)
}

func (t tally) report(c *examined, innocent, next, what string) {
	if t.count > 0 {
		c.look(t.line, innocent, next, what, t.count, runner.InWords(t.most))
	}
}

// refusals looks at how often a value was refused before one was accepted, and how often a step was not let go.
func (c *examined) refusals() {
	values, held := map[string]int{}, map[string]int{}
	for _, l := range c.lines {
		for _, e := range l.Events {
			switch e := e.(type) {
			case runner.ReadingTaken:
				c.refusedValue(l.Seq+1, e, values)
			case runner.Refused:
				step := completes(l.Do)
				if held[step]++; step != "" && held[step] == manyHeld {
					c.look(l.Seq+1, "the key was pressed to see what is still missing", askPerformer, "step %s was held back %d times", step, manyHeld)
				}
			}
		}
	}
}

func (c *examined) refusedValue(line int, e runner.ReadingTaken, refused map[string]int) {
	key := e.Step + "/" + e.Reading
	switch {
	case !e.Accepted:
		refused[key]++
		return
	case refused[key] >= manyRefused:
		c.look(line, "it was measured while it still cooled, discharged or settled", "look at the refused values and at their times",
			"reading %s of step %s was accepted after %d refused values", e.Reading, e.Step, refused[key])
	}
	refused[key] = 0
}

// completes is the step that a command tries to complete.
func completes(cmd runner.Command) string {
	switch cmd := cmd.(type) {
	case runner.Finish:
		return cmd.Step
	case runner.Answer:
		return cmd.Step
	}
	return ""
}

// corrections looks at readings of gates that were written anew.
func (c *examined) corrections(p *procedures.Procedure) {
	gates := gateReadings(p)
	for _, l := range c.lines {
		for _, e := range l.Events {
			e, ok := e.(runner.Corrected)
			if !ok || e.FromCard {
				continue
			}
			if gate := gates[e.Reading]; gate != "" {
				c.look(l.Seq+1, "a slip of the finger, put right", "compare the old value, the new one and the reason given",
					"reading %s of gate %s was corrected from %q to %q: %s", e.Reading, gate, e.Old, e.Value, e.Reason)
				continue
			}
			c.note(l.Seq+1, "an entry was corrected: %s", e.Reason)
		}
	}
}

// gateReadings gives, for the id of each reading of a gate, the gate.
func gateReadings(p *procedures.Procedure) map[string]string {
	out := map[string]string{}
	for _, st := range p.Steps {
		for _, r := range st.Readings {
			if st.Kind == procedures.Gate {
				out[r.ID] = st.ID
			}
		}
	}
	return out
}

// instruments looks at calibration dates that are past, close, or far beyond what is usual.
func (c *examined) instruments() {
	for _, l := range c.lines {
		for _, e := range l.Events {
			switch e := e.(type) {
			case runner.InstrumentTaken:
				c.calibration(l, e)
			case runner.Refused:
				c.overdue(l, e)
			}
		}
	}
}

func (c *examined) calibration(l record.Line, e runner.InstrumentTaken) {
	due, err := time.Parse(time.DateOnly, e.Due)
	if err != nil {
		return
	}
	switch left := due.AddDate(0, 0, 1).Sub(l.At); {
	case left < 0:
		c.look(l.Seq+1, "the label was misread, or the tool had been calibrated since", "look at the tool's label and its certificate",
			"%s %q was named %d day(s) past its calibration date %s", e.Instrument, e.Name, daysPast(due, l.At), e.Due)
	case left < dueNear:
		c.look(l.Seq+1, "every tool has a last week before its calibration", "see what the next calibration found",
			"%s %q: its calibration was due on %s, %d day(s) later", e.Instrument, e.Name, e.Due, int(left/day))
	case left > dueFar:
		c.look(l.Seq+1, "the year was mistyped", "look at the tool's label", "%s %q: its calibration date %s is unusually far off", e.Instrument, e.Name, e.Due)
	}
}

// overdue looks at tools that were refused because their calibration date was past.
func (c *examined) overdue(l record.Line, e runner.Refused) {
	for _, r := range e.Reasons {
		due, err := time.Parse(time.DateOnly, r.Detail)
		if r.Code != runner.InstrumentOverdue || err != nil {
			continue
		}
		tool := r.Item
		if take, ok := l.Do.(runner.Take); ok {
			tool += " " + strconv.Quote(take.Name)
		}
		c.look(l.Seq+1, "its label was read in good time, and another tool was taken", "see that the tool used after it is another one, or was calibrated since",
			"%s was refused, %d day(s) past its calibration date %s", tool, daysPast(due, l.At), r.Detail)
	}
}

const day = 24 * time.Hour

// daysPast is how many whole days a time is past a date; 0 on the day itself.
func daysPast(due, at time.Time) int { return int(at.Sub(due) / day) }

// fileTimes holds the time that a file claims against the time it was attached.
func (c *examined) fileTimes(l record.Line, file runner.File) {
	modified, err := time.Parse(time.RFC3339, file.Modified)
	if err != nil {
		return
	}
	switch {
	case modified.After(l.At.Add(newAfter)):
		c.look(l.Seq+1, "the camera's clock is ahead or keeps local time", "compare the two clocks",
			"%q claims to be from %s, after it was attached", file.Name, clock(modified))
	case modified.Before(c.Opened.Add(-oldBefore)):
		c.look(l.Seq+1, "the camera's clock was never set, or the file is a plate or a sheet", "open the file and see what it shows",
			"%q is from %s, long before the job was opened", file.Name, clock(modified))
	}
}

// warmth is one temperature of a series.
type warmth struct {
	mono    time.Duration
	session int
	celsius float64
}

// cooling looks at temperatures of one series that fall faster than metal cools in air.
func (c *examined) cooling(job *runner.Job) {
	last := map[string]warmth{}
	for _, l := range c.lines {
		for _, e := range l.Events {
			e, ok := e.(runner.ReadingTaken)
			if !ok || !isMeasured(job, e) {
				continue
			}
			now, ok := warmthOf(l, e)
			if !ok {
				continue
			}
			key := e.Step + "/" + e.Reading
			if before, seen := last[key]; seen && before.session == now.session {
				c.cooled(l.Seq+1, e.Reading, before, now)
			}
			last[key] = now
		}
	}
}

func warmthOf(l record.Line, e runner.ReadingTaken) (warmth, bool) {
	q, err := quantity.ParseAs(e.Value, quantity.Temperature)
	if err != nil {
		return warmth{}, false
	}
	degrees, err := q.In("°C")
	return warmth{l.Mono, l.Session, degrees}, err == nil
}

func (c *examined) cooled(line int, reading string, from, to warmth) {
	tau, fast := timeConstant(from.celsius, to.celsius, to.mono-from.mono)
	if fast {
		c.look(line, "the second value was taken at another spot, or with another instrument", "see where the two values were taken",
			"reading %s fell from %.0f °C to %.0f °C in %s: a time constant of %s, quicker than metal cools in air",
			reading, from.celsius, to.celsius, to.mono-from.mono, tau)
	}
}

// timeConstant reckons how quickly something cooled towards the air, by Newton's law, and whether that is too quick.
func timeConstant(from, to float64, in time.Duration) (time.Duration, bool) {
	if from-to < coolingDrop || from <= coolingRoom+coolingDrop {
		return 0, false
	}
	rest := max(to-coolingRoom, 1)
	tau := time.Duration(float64(in) / math.Log((from-coolingRoom)/rest)).Round(time.Second)
	return tau, tau < quickestCooling
}

// endings looks at what the record ends with.
func (a auditor) endings(c *examined, s runner.State) {
	last := len(c.lines)
	for _, left := range s.Left() {
		c.look(last, "it could not be made safe there and then, and was said so", "see that somebody has made it safe since", "left in this state (step %s): %s", left.Step, left.State)
	}
	for _, f := range s.FollowUps() {
		due, err := time.Parse(time.DateOnly, f.Due)
		if err == nil && !c.Practice && a.now.After(due.AddDate(0, 0, 1)) {
			c.look(last, "it was done, and is in another record", "ask for the record of it", "follow-up was due on %s: %s", f.Due, f.What)
			continue
		}
		c.note(last, "follow-up due on %s: %s", f.Due, f.What)
	}
	if !c.Closed.IsZero() && c.Closed.After(a.now.Add(clockAhead)) {
		c.look(last, "the laptop's clock, or this one, is wrong", "compare the clocks", "it says that it was closed at %s, which is still to come", clock(c.Closed))
	}
}
