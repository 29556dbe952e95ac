package guards

// Each guard of the interlock, broken on purpose: the core is compiled with one line changed, and the tests of the rules
// must notice. The changes are given to the compiler as an overlay; no file is touched.

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// guard is one line that keeps a rule, and what it is changed into.
type guard struct{ keeps, file, line, broken string }

// unite holds what the core works by where a danger is stated twice.
const unite = "../procedures/unite.go"

var guards = []guard{
	{"only the current step takes entries", "current.go", "return i == s.open || s.steps[i].running", "return true"},
	{"nothing is current while the work is broken off", "current.go", "if s.hold != nil || len(s.lost) > 0 {\n\t\treturn noStep", "if len(s.lost) > 0 {\n\t\treturn noStep"},
	{"nothing is current while work is stopped", "current.go", "if s.hold != nil || len(s.lost) > 0 {\n\t\treturn noStep", "if s.hold != nil {\n\t\treturn noStep"},
	{"a missing need holds the job at its gate", "current.go", "next := s.blocker(target)", "next := noStep"},
	{"a gate's own needs come first", "current.go", "for range len(s.steps) + 1 {\n\t\tnext := s.blocker", "for range 1 {\n\t\tnext := s.blocker"},
	{"a running pinned step blocks what needs it", "current.go", "return s.steps[n.Pin].running", "return false"},
	{"a need with a condition counts where it holds", "current.go", "if !s.holds(n.When) {\n\t\treturn false", "if len(n.When) > 0 {\n\t\treturn false"},
	{"every need must stand to complete a step", "unmet.go", "add(s.needReasons(i)...)", ""},
	{"a way must be chosen", "unmet.go", `len(st.Ways) > 0 && s.steps[i].way == ""`, "false"},
	{"every statement is affirmed on its own", "decide_entries.go", "d.enterAt(i, Affirmed(c))", "for n := range all {\n\t\t\td.enterAt(i, Affirmed{Step: c.Step, Statement: n})\n\t\t}"},
	{"a statement must be affirmed", "unmet.go", "s.holdsIn(i, say.When) && s.steps[i].affirmed&(1<<k) == 0", "s.holdsIn(i, say.When) && k < 0"},
	{"a reading must be recorded", "unmet.go", "case len(rs.values) == 0 && !r.Optional:", "case false:"},
	{"a refused reading is taken afresh", "unmet.go", "case rs.last:", "case false:"},
	{"a reading above its limit is not accepted", "decide_read.go", "ok && below(high, q)", "ok && false"},
	{"a reading below its limit is not accepted", "decide_read.go", "ok && below(q, low)", "ok && false"},
	{"a reading that must be the same is", "decide_read.go", "!ok || !procedures.Same(spec.Kind, spec.Quantity, value, want)", "!ok"},
	{"a magnitude is judged without its sign", "decide_read.go", "q = q.Abs()", "q = q"},
	{"a limit that is not known refuses", "decide_read.go", "if d.refuse(d.s.unknownLimits(i, spec)...) {", "if false {"},
	{"a reading is not typed over", "decide_read.go", "if len(values) > 0 && !spec.Series {", "if false {"},
	{"values of a series keep their distance", "decide_read.go", "passed < gap", "false"},
	{"an instrument must be named", "decide_read.go", `if in.Name == "" {`, "if false {"},
	{"an instrument must be in calibration", "decide_read.go", "due.AddDate(0, 0, 1)", "due.AddDate(9, 0, 1)"},
	{"evidence must be attached", "unmet.go", "!ev.Optional && s.holdsIn(i, ev.When) && s.steps[i].evidence[k] == nil", "k < 0 && ev.Optional"},
	{"evidence has a real digest", "decide_entries.go", "len(sum) != sha256.Size || errSum != nil", "len(sum) > sha256.Size && errSum != nil"},
	{"a check must pass", "unmet.go", "case got.verdict != checks.Pass:", "case false:"},
	{"a check that wants more is not passed", "unmet.go", "case got.verdict == checks.More:\n\t\t\tout =", "case got.verdict == checks.More && false:\n\t\t\tout ="},
	{"a failed check refuses what was measured", "evolve.go", "if e.Verdict == checks.Fail && !use.Advice {", "if e.Verdict == checks.Fail && use.Advice {"},
	{"a wait must be started", "unmet.go", "if !s.steps[i].waiting {\n\t\treturn []Reason{{Code: WaitNotStarted", "if false {\n\t\treturn []Reason{{Code: WaitNotStarted"},
	{"a wait is waited out", "unmet.go", "if left := least - since(s.steps[i].waitFrom, now); left > 0 {", "if left := least - since(s.steps[i].waitFrom, now); false {"},
	{"a wait that is missed starts again", "unmet.go", "if s.waitMissed(i, now) {", "if false {"},
	{"a step is repeated only so often", "decide_progress.go", "round > st.Repeat.AtMost", "false"},
	{"a gate is never skipped", "decide_progress.go", "case st.Kind != procedures.Do:", "case false:"},
	{"only what is optional is skipped", "decide_progress.go", "case !st.Optional:", "case false:"},
	{"a skip gives its reason", "decide_progress.go", "case d.refuseText(c.Reason, true):\n\tdefault:\n\t\td.emit(Skipped(c))", "default:\n\t\td.emit(Skipped(c))"},
	{"an answer waits for all else", "decide_progress.go", "if r.Code != AnswerMissing {\n\t\t\td.refuse(r)", "if false {\n\t\t\td.refuse(r)"},
	{"a step that applies is not gone by", "decide_progress.go", "case !s.holds(st.When):", "case len(st.When) > 0:"},
	{"a gate is gone by only where its safeguard stands", "decide_progress.go", "s.guards[st.Secures].stands && st.Ask == nil", "st.Ask == nil"},
	{"a make-safe step is gone by only where nothing is due", "decide_progress.go", "case s.makesSafe(i) && !s.isDue(i):", "case s.makesSafe(i):"},
	{"a refused command changes nothing", "decide.go", "if d.mark < 0 || d.mark >= len(d.events) {", "if true {"},
	{"a refusal is journalled", "decide.go", "d.emit(no)\n\treturn Decision{Events: d.events, Refusal", "return Decision{Events: d.events, Refusal"},
	{"a safeguard falls by its cause", "decide.go", "if has(spec.LapseOn, cause) {", "if has(spec.LapseOn, cause) && false {"},
	{"a cause happens as its step is opened", "decide.go", "d.happen(next)", ""},
	{"a cause happens as its step is left", "decide.go", "d.happen(left)", ""},
	{"a pinned step starts by its cause", "decide.go", "if has(d.s.spec(k).Pin.On, cause) {", "if false {"},
	{"a safeguard falls when its time is up", "decide.go", "since(from, d.now) >= spec.After", "false"},
	{"the longest time counts as passed across a restart", "decide.go", "from.Session != d.now.Session || since(from", "since(from"},
	{"what rests on a fallen safeguard falls", "decide.go", "d.fall(r, ByRest, d.s.job.Procedure.Safeguards[g].ID)", ""},
	{"what a gate needed as things were is rested on", "resting.go", "n.Safeguard >= 0 && len(n.When) > 0 && s.holds(n.When)", "n.Safeguard >= 0 && len(n.When) > 0 && false"},
	{"what a gate did not need is not rested on", "resting.go", "n.Safeguard >= 0 && len(n.When) > 0 && s.holds(n.When)", "n.Safeguard >= 0 && len(n.When) > 0"},
	{"what is rested on is settled when the gate is done", "resting.go", "return slices.Contains(s.guards[r].rests, g)", "return slices.Contains(s.neededThen(r), g)"},
	{"what fell with time is gone before a command is looked at", "decide.go", "d.settle() // what fell", "_ = 0 // what fell"},
	{"evidence of a fallen safeguard is wiped", "evolve.go", "s.wipe(gate)", ""},
	{"a step under way loses its entries with its need", "evolve.go", "if n.Safeguard == g && s.holds(n.When) {", "if n.Safeguard == g && false {"},
	{"stop-work fells what it names", "decide_people.go", `d.fall(g, ByLoss, "")`, "_ = g"},
	{"stop-work holds until it is cleared", "decide.go", "if len(d.s.lost) > 0 {", "if false {"},
	{"stop-work is taken in a handover", "decide.go", "case Tick, Note, StopWork, Reopen, Pause, Take:", "case Tick, Note, Reopen, Pause, Take:"},
	{"the briefing comes first", "decide.go", "if d.s.phase == Briefing {\n\t\treturn d.admitBriefing(c)", "if false {\n\t\treturn d.admitBriefing(c)"},
	{"an interruption waits for a resume", "decide.go", "if d.s.hold != nil {\n\t\tswitch", "if false {\n\t\tswitch"},
	{"a resume sees what it takes up", "decide.go", "again && d.broke", "again && false"},
	{"an interruption fells what lapses by it", "decide_people.go", "d.fallOn(interruptionCause)", ""},
	{"clocks that part are an interruption", "decide.go", "case apart(last, d.now):", "case false:"},
	{"clocks that part backwards are one too", "moment.go", "d = -d", "return false"},
	{"time never runs backwards", "decide.go", "case d.now.Mono < last.Mono:", "case false:"},
	{"another process reopens first", "decide.go", "case reopening || d.now.Session != last.Session:", "case reopening:"},
	{"a refusal for its moment does not move the clock", "evolve.go", "ok && e.untimely()", "ok && e.untimely() && false"},
	{"no wait is credited across a restart", "moment.go", "from.Session != now.Session || now.Mono < from.Mono", "now.Mono < from.Mono"},
	{"a broken-off wait starts again", "evolve.go", "st.waiting = false\n", ""},
	{"a broken-off watch starts again", "evolve.go", "s.steps[i].waitFrom = at\n\t\t}\n\t\tif s.steps[i].status == Current", "_ = at\n\t\t}\n\t\tif s.steps[i].status == Current"},
	{"a pinned step runs its time", "decide_entries.go", "left := d.s.pinLeft(i, d.now); left > 0", "left := d.s.pinLeft(i, d.now); left > 0 && false"},
	{"a refused reading is never corrected", "decide_correct.go", "case len(rs.values) == 0 && len(rs.refused) > 0:", "case false:"},
	{"a correction gives its reason", "decide_correct.go", "if d.refuseText(c.Reason, true) || d.refuseText(c.Value, false) {", "if d.refuseText(c.Value, false) {"},
	{"a correction that fails undoes its step", "decide_correct.go", "d.s.steps[i].status == Finished && len(d.s.notAccepted(i)) > 0 || d.s.appliesAfterAll(i)", "d.s.appliesAfterAll(i)"},
	{"a correction that fails fells the safeguard", "decide_correct.go", "d.fall(st.Secures, ByCorrection, st.ID)", ""},
	{"a corrected answer returns to its decision", "decide_correct.go", "d.returnTo([]int{i})", ""},
	{"what was done beside the line is no place on it", "decide_correct.go", "if s.steps[i].status != Finished || !s.steps[i].beside {", "if true {"},
	{"the job goes back for what rested on an undone gate", "decide_correct.go", "slices.ContainsFunc(s.spec(k).Needs, needs) {", "slices.ContainsFunc(s.spec(k).Needs, needs) && false {"},
	{"what rested on it through another counts", "resting.go", "for _, r := range s.restingOn(out[k]) {", "for _, r := range []int{} {"},
	{"a correction never jumps ahead", "decide_correct.go", "if s.cursor == atEnd || i <= s.cursor {", "if true {"},
	{"a correction overrules what it limits", "decide_correct.go", "d.overrule()\n\tvar undone", "var undone"},
	{"a check is run again on what is corrected", "decide_correct.go", "&& changed(i, use) {", "&& false {"},
	{"a step gone by that applies after all is done", "decide_correct.go", "|| d.s.appliesAfterAll(i) {", "{"},
	{"a watch taken back runs again", "decide_correct.go", "d.emit(PinStarted{Step: d.s.spec(i).ID, Of: string(ByCorrection)})", ""},
	{"a correction voids the witness", "decide_correct.go", "if d.s.steps[i].witness != nil {", "if false {"},
	{"an entry after the witness voids the signature", "decide_entries.go", "d.emit(e)\n\td.voidWitness(i)", "d.emit(e)"},
	{"a witness signs when all else is in", "decide_entries.go", "if r.Code != WitnessMissing && r.Code != AnswerMissing {", "if false {"},
	{"a witness is another key", "decide_entries.go", "if c.By.Fingerprint == d.s.acting().Fingerprint || c.By.Fingerprint == d.s.performer.Fingerprint {", "if false {"},
	{"a required witness signs", "unmet.go", "if s.needsWitness(i, now) && s.steps[i].witness == nil {", "if false {"},
	{"an apprentice's gates are witnessed", "unmet.go", "return st.Kind == procedures.Gate && ", "return false && "},
	{"a signature covers this head", "decide_entries.go", "WitnessMessage(d.s.job.Opening.Job, c.Step, d.now.Head)", `WitnessMessage(d.s.job.Opening.Job, c.Step, d.s.last.Head)`},
	{"a signer is on the roster under that name", "signatures.go", "!ok || !has(entry.Principals, p.Name)", "!ok || len(entry.Principals) == 0"},
	{"a signer has the role", "signatures.go", "errors.As(err, &denial) {", "errors.As(err, &denial) && false {"},
	{"a signature verifies", "signatures.go", "if err != nil {\n\t\treturn d.refuse(Reason{Code: SignatureBad", "if err != nil && false {\n\t\treturn d.refuse(Reason{Code: SignatureBad"},
	{"a signature is that person's own", "signatures.go", "if seal.Fingerprint(sig.Key) != p.Fingerprint {", "if false {"},
	{"a handover fells what lapses by it", "decide_people.go", "d.emit(HandoverBegun(c))\n\td.fallOn(handoverCause)", "d.emit(HandoverBegun(c))"},
	{"the incoming person secures what fell first", "decide_people.go", "if !d.s.guards[g].stands {\n\t\t\td.refuse(Reason{Code: StillToSecure", "if false {\n\t\t\td.refuse(Reason{Code: StillToSecure"},
	{"the incoming person signs before the outgoing one", "decide_people.go", "if !h.SignedOn {", "if false {"},
	{"what falls after signing on is signed for again", "evolve.go", "h.SignedOn = false", "_ = 0"},
	{"only re-securing and signing happen in a handover", "decide.go", "return d.s.handover == nil || !d.refuse(Reason{Code: HandoverOpen", "return true || !d.refuse(Reason{Code: HandoverOpen"},
	{"a takeover leaves the stretch unsigned", "evolve.go", "s.unsigned = append(s.unsigned, e.From)", ""},
	{"a takeover is not by the performer", "decide_people.go", "func (d *decision) takeOver(c TakeOver) {\n\tif c.By.Fingerprint == d.s.performer.Fingerprint {", "func (d *decision) takeOver(c TakeOver) {\n\tif false {"},
	{"complete is not said by hand", "decide_close.go", "case c.Outcome == procedures.Complete:", "case false:"},
	{"a close passes what is due", "decide_close.go", "if d.refuse(d.s.unsafe()...) || ", "if "},
	{"complete leaves nothing", "decide_close.go", "if d.s.outcome == procedures.Complete {\n\t\td.refuse(Reason{Code: LeftNotForComplete", "if false {\n\t\td.refuse(Reason{Code: LeftNotForComplete"},
	{"only what is due is left", "decide_close.go", "if d.s.spec(i).ID == c.Step {", "if d.s.spec(i).ID != \"\" {"},
	{"another's seal takes the performer's own signature", "decide_close.go", "c.By.Fingerprint != d.s.performer.Fingerprint &&", "false &&"},
	{"a make-safe step is due while its safeguard is engaged", "current.go", "if s.guards[g].engaged && !", "if s.guards[g].stands && !"},
	{"a gate engages from its first entry", "evolve.go", "s.guards[g].engaged = true\n\t}\n\treturn", "s.guards[g].engaged = s.guards[g].engaged || false\n\t}\n\treturn"},
	{"a make-safe step is due after what was begun", "evolve.go", "s.steps[m].owed = true", ""},
	{"a running pinned step blocks a close", "current.go", "if s.steps[i].running && !s.isLeft(s.spec(i).ID) {", "if false {"},
	{"a closed job takes nothing", "decide.go", "now Moment) Decision {\n\tif s.phase == Closed {", "now Moment) Decision {\n\tif false {"},
	{"a job that follows a locked one owes all", "state.go", `if j.Opening.After != "" {`, "if false {"},
	{"a wiped choice still counts", "state.go", "chose: old.choice(),", ""},
	{"an answer that ends the job secures nothing", "decide_progress.go", "if st.Secures >= 0 && !early(then) {", "if st.Secures >= 0 {"},
	{"a check of what was given before is run", "decide.go", "d.computeGiven(next)", ""},
	{"a file that is attached is judged", "decide_entries.go", "d.compute(i, c.Item, false)", ""},
	{"a file is what a failed check refuses", "evolve.go", "st.evidence[k] = nil", "_ = k"},
	{"a file that is not to be had passes nothing", "decide_files.go", "e.Missing, e.Because = missing,", "e.Verdict, e.Because = checks.Pass,"},
	{"a file that was lost is told as lost", "unmet.go", `case got.missing != "":`, "case false:"},
	{"a file that cannot be judged passes nothing", "decide_files.go", "r = checks.Result{Verdict: checks.More", "r = checks.Result{Verdict: checks.Pass"},
	{"a file that was put back is judged", "decide_progress.go", "d.lookAgain(i)\n\tif d.refuse", "if d.refuse"},
	{"a file of an earlier step is still known once it is wiped", "state.go", "n.kept[k] = f", "_ = k"},
	{"a file of the step itself is attached again once it is wiped", "decide_files.go", "f == nil && place.step != i", "f == nil"},
	{"a result is taken on trust only for want of its file", "decide_files.go", `ok && (missing != "" || was.Missing != "")`, "ok"},
	{"what a check found is passed on", "decide_found.go", "d.shaken = true\n\t\t\t\td.computeUse(n, use)", "d.shaken = true"},
	{"what rests on a check that was made again is judged again", "decide.go", "if d.shaken {", "if false {"},
	{"what a check found is still known once its step is wiped", "state.go", "n.computed[k].kept = c.found()", "_, _ = k, c"},
	{"a verdict behind which a file was lost passes nothing", "unmet.go", `case lost != "":`, "case false:"},
	{"a file that was put back is judged for what rests on it", "decide_files.go", "d.lookAgain(before)", "_ = before"},
	{"a reading of a step that does not apply is not waited for", "decide_read.go", "s.holdsIn(place.step, spec.When) && s.holds(s.spec(place.step).When)\n}\n\n// argument", "s.holdsIn(place.step, spec.When)\n}\n\n// argument"},
	{"what is faced is needed", unite, "s.Needs = append(s.Needs[:len(s.Needs):len(s.Needs)], Need{", "_ = append(s.Needs[:len(s.Needs):len(s.Needs)], Need{"},
	{"what a danger comes with fells what keeps it off", unite, "g.LapseOn = append(g.LapseOn, c)", "_ = append(g.LapseOn, c)"},
	{"what the clock brings back falls by the clock", unite, "g.After = d.After", "_ = d.After"},
	{"what is brought on is caused", unite, "s.Causes, m.causes = append(s.Causes, c), append(m.causes, word{c, m.brings[k].Place})", "_ = c"},
	{"what a danger comes with starts what watches for it", unite, "s.Pin.On = append(s.Pin.On, c)", "_ = append(s.Pin.On, c)"},
	{"what is brought on makes its gate due", unite, "gate.DueAfter = append(gate.DueAfter, i)", "_ = append(gate.DueAfter, i)"},
	{"texts are plain", "decide_entries.go", "case err != nil:\n\t\treturn d.refuse(Reason{Code: TextRefused", "case false:\n\t\treturn d.refuse(Reason{Code: TextRefused"},
}

// slow are the tests that the broken cores are not given: they take long, or break the core themselves.
const slow = "Explore|EveryJobKeeps|EveryShippedJobKeeps|GuardThatIsBroken"

func TestEveryGuardThatIsBrokenIsCaught(t *testing.T) {
	breakAll(t, guards, "-skip", slow)
}

// What unites the two statements of a danger is seen to be broken over made-up procedures as well, by books that know nothing of it.
func TestWhatUnitesTheStatementsIsCaughtOverMadeUpProceduresToo(t *testing.T) {
	of := func(g guard) bool { return g.file != unite }
	breakAll(t, slices.DeleteFunc(slices.Clone(guards), of), "-run", "WhoeverFacesADanger", "-rapid.checks=1500", "-rapid.shrinktime=1ms")
}

func breakAll(t *testing.T, guards []guard, tests ...string) {
	if testing.Short() {
		t.Skip("takes minutes: it compiles the core once for each guard")
	}
	if _, err := exec.LookPath("go"); err != nil {
		t.Skip("needs the go command")
	}
	dir, err := filepath.Abs("..")
	require.NoError(t, err)
	start, caught := time.Now(), 0
	var mu sync.Mutex
	work := make(chan guard)
	var wait sync.WaitGroup
	for range 2 {
		wait.Go(func() {
			for g := range work {
				what := breakGuard(t, dir, g, tests)
				mu.Lock()
				if assert.Empty(t, what, "%s (%s)", g.keeps, g.file) {
					caught++
				}
				mu.Unlock()
			}
		})
	}
	for _, g := range guards {
		work <- g
	}
	close(work)
	wait.Wait()
	t.Logf("%d guards broken, %d caught, in %v", len(guards), caught, time.Since(start).Round(time.Second))
}

// breakGuard compiles the core with one guard broken and runs tests of the rules on it. It says what is wrong; nothing
// where a test failed.
func breakGuard(t *testing.T, dir string, g guard, tests []string) string {
	whole := filepath.Join(dir, g.file)
	text, err := os.ReadFile(whole)
	if err != nil {
		return err.Error()
	}
	if n := strings.Count(string(text), g.line); n != 1 {
		return "the line stands there " + strings.Repeat("I", n) + " times: give the table the line that keeps this rule now"
	}
	tmp := t.TempDir()
	broken, overlay := filepath.Join(tmp, filepath.Base(g.file)), filepath.Join(tmp, "overlay.json")
	changed := strings.Replace(string(text), g.line, g.broken, 1)
	if err := os.WriteFile(broken, []byte(changed), 0o600); err != nil {
		return err.Error()
	}
	plan, err := json.Marshal(map[string]map[string]string{"Replace": {whole: broken, filepath.Join(dir, "rehearsed_test.go"): ""}})
	if err != nil {
		return err.Error()
	}
	if err := os.WriteFile(overlay, plan, 0o600); err != nil {
		return err.Error()
	}
	args := append([]string{"test", "-overlay", overlay, "-vet=off", "-short", "-failfast", "-timeout=60s", "-rapid.nofailfile"}, tests...)
	cmd := exec.Command("go", append(args, ".")...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	switch {
	case err == nil:
		return "no test notices"
	case strings.Contains(string(out), "[build failed]") || strings.Contains(string(out), "[setup failed]"):
		return "does not compile: " + string(out)
	}
	return ""
}
