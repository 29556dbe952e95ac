package ui

// Screens of the other procedures that ship: a file that is asked for and judged, a wheel drawn up in a star, work that is
// still due at the close, and the pictures in every look.

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner/roster"
	"fenderside/runner/seal"
)

// wheelJob refits a wheel with four studs, catalystJob reads a log of two sensors; both without trouble.
var (
	wheelJob = map[string][]string{
		"studs_seen": {"4"}, "look-at-wheel": {"on the vehicle"}, "support-vehicle": {"On stands rated for the load"}, "seat_seen": {"taper"},
		"look-at-studs": {"All run free by the fingers and are whole"}, "start-nuts": {"Every one to its seat"}, "first_setting": {"55"},
		"wrench_accuracy": {"4"}, "wheel_setting": {"115"}, "stud_1": {"115"}, "stud_2": {"115"}, "stud_3": {"115"}, "stud_4": {"115"},
		"last-pass": {"Every one clicked without turning"}, "last_reading": {"115"}, "odometer": {"148 260 km"}, "retorque_told": {bryn},
		"wheel_left": {"torqued at every stud and witnessed"}, "key_keeper": {bryn}, "torque-wrench": {"TW-5"},
	}
	catalystJob = map[string][]string{
		"codes": {"P0420"}, "rule-out": {"Nothing is stored or seen but the code for the catalyst"}, "run.start-engine": {"It idles and is warm"},
		"listen-for-leak": {"None heard or seen"}, "log_speed": {"2500 a minute"}, "decide": {"The rear signal stays quiet"},
	}
	catalystSheet = map[string]string{"vehicle": "MCM 9", "bank": "bank 1", "told": "P0420", "trace_time": "time", "front_column": "B1S1",
		"rear_column": "B1S2", "figures_from": "invented"}
)

// opens opens a shipped procedure on a card of the library, or on none, with these lines on its sheet.
func (r *rig) opens(procedure, card string, lines map[string]string) *rig {
	r.t.Helper()
	p, ok := library.Procedure(procedure)
	require.True(r.t, ok)
	var c *procedures.Card
	if card != "" {
		c, ok = library.Card(card)
		require.True(r.t, ok)
	}
	r.m.chooseMode(p, c, true, "")
	s, ok := r.m.top().(*sheet)
	require.True(r.t, ok)
	for i, f := range p.Sheet {
		s.typed[i] = typedLine(lines[f.ID])
	}
	s.resolve()
	s.at = len(p.Sheet)
	require.Empty(r.t, s.open())
	for range 10 {
		if r.m.work == nil {
			r.key("enter")
		}
	}
	require.NotNil(r.t, r.m.work, r.m.message)
	return r
}

// log is a shipped log, as a file of the person's.
func (r *rig) log(name string) string {
	r.t.Helper()
	data, err := fs.ReadFile(library.ScriptFiles(), name)
	require.NoError(r.t, err)
	path := filepath.Join(r.root, name)
	require.NoError(r.t, os.WriteFile(path, data, 0o600))
	return path
}

func (r *rig) note() string {
	r.t.Helper()
	path := filepath.Join(r.root, "note.csv")
	require.NoError(r.t, os.WriteFile(path, []byte("nothing of use\n"), 0o600))
	return path
}

func (r *rig) wheel() *rig {
	return r.opens("wheel-refit", "millbrook-four", map[string]string{"wheel": "front left"})
}

func (r *rig) catalyst() *rig {
	return r.opens("catalyst-check", "", catalystSheet).to("attach drive_log", catalystJob)
}

// wheelEnd goes from the witnessed torque to the end of the wheel's job.
func (r *rig) wheelEnd() *rig {
	r.t.Helper()
	r.wheel().to("witness", wheelJob).witness()
	return r.to("review", wheelJob)
}

func init() {
	for name, reach := range map[string]func(r *rig){
		"file-asked":   func(r *rig) { r.catalyst().key("/", "h", "o", "m", "e") },
		"file-missing": func(r *rig) { r.catalyst().typed(filepath.Join(r.root, "no such log.csv")) },
		"file-more":    func(r *rig) { r.catalyst().typed(r.note()) },
		"file-verdict": func(r *rig) { r.catalyst().typed(r.log("front-and-rear.csv")) },
		"file-gate":    func(r *rig) { screens0["file-verdict"](r); r.to("read agreed", catalystJob) },
		"file-held": func(r *rig) { // a gate that reads a log which cannot tell
			r.catalyst().typed(r.note()).to("read agreed", catalystJob).typed(bryn)
		},
		"star-first":   func(r *rig) { r.wheel().to("read first_setting", wheelJob) },
		"star-second":  func(r *rig) { r.wheel().to("read stud_2", wheelJob) },
		"star-short":   func(r *rig) { screens0["star-second"](r); r.typed("90") },
		"star-witness": func(r *rig) { r.wheel().to("witness", wheelJob) },
		"close-follow-up": func(r *rig) {
			r.wheelEnd().key("f7", "8", "enter").typed("Tighten the front left wheel again at 148 310 km")
		},
		"end-follow-up":  func(r *rig) { screens0["close-follow-up"](r); r.typed("2026-03-18") },
		"sign-follow-up": func(r *rig) { screens0["end-follow-up"](r); r.key("enter").toEnd() },
		"done-follow-up": func(r *rig) { screens0["end-follow-up"](r); signNow(r) },
		"picture-trace":  func(r *rig) { screens0["file-verdict"](r); r.key("f12") },
		"picture-wheel":  func(r *rig) { screens0["star-short"](r); r.key("f12") },
	} {
		screens[name] = reach
	}
}

// pictured are the screens that are a picture.
var pictured = []string{"picture-cooling", "picture-engine", "picture-torque", "picture-trace", "picture-wheel"}

// In ASCII, in colour and with colour turned off, narrow and wide, a picture says the same with the same characters.
func TestAPictureReadsInEveryLook(t *testing.T) {
	renderer := func(p termenv.Profile) *lipgloss.Renderer {
		render := lipgloss.NewRenderer(os.Stdout)
		render.SetColorProfile(p)
		return render
	}
	looks := []struct {
		name string
		look theme
	}{{"colour", themeOf(renderer(termenv.TrueColor), true)}, {"NO_COLOR", themeOf(renderer(termenv.ANSI), false)}, {"ASCII", ascii()}}
	for _, name := range pictured {
		t.Run(name, func(t *testing.T) {
			r := newRig(t)
			screens[name](r)
			all := ""
			for _, size := range [][2]int{sizes[0], sizes[3]} {
				r.m.width, r.m.height = size[0], size[1]
				r.m.look = ascii()
				plain := r.view()
				for _, look := range looks {
					r.m.look = look.look
					assert.Equal(t, plain, ansi.Strip(r.view()), "%s adds nothing", look.name)
					all += fmt.Sprintf("== %d by %d, %s\n%s\n", size[0], size[1], look.name, r.view())
				}
			}
			assert.NotContains(t, all, "\x1b[38", "a picture takes no colour of its own, so that it reads on light and on dark")
			same(t, name+"-looks", all)
		})
	}
}

// aloneWith leaves nobody on the roster but whoever works here, with these roles; none named is every role.
func (r *rig) aloneWith(roles []string) *rig {
	r.t.Helper()
	id, _, err := r.m.home.Identity()
	require.NoError(r.t, err)
	line, err := roster.Line(asha, id.Public, roles, "")
	require.NoError(r.t, err)
	require.NoError(r.t, os.WriteFile(r.m.home.RosterPath(), []byte(line+"\n"), 0o600))
	return r
}

func TestWhoeverWorksAloneIsToldBeforeTheFirstStepOfWhatNobodyCanWitness(t *testing.T) {
	r := newRig(t).aloneWith(nil).wheel()
	for _, s := range sizes {
		r.size(s[0], s[1])
		assert.Contains(t, r.flat(), "NOBODY CAN WITNESS: a second person signs “Have the last pass witnessed”")
	}
	r.size(80, 24).key("enter")
	assert.NotContains(t, r.flat(), "NOBODY CAN WITNESS", "once")
	assert.NotContains(t, newRig(t).wheel().flat(), "NOBODY CAN WITNESS", "bryn can")
	assert.NotContains(t, newRig(t).aloneWith(nil).start("millbrook-four").flat(), "NOBODY CAN WITNESS", "no step of the swap wants one")
	apprentice := newRig(t).aloneWith([]string{seal.Stretch}).start("millbrook-four")
	assert.Regexp(t, `a second person signs \d\d steps, the first “Secure the vehicle where it stands”`, apprentice.flat(), "every gate of an apprentice")
}
