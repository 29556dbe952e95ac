package reading

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The quoting of an apostrophe is how shells and terminals write it between ' and ' (POSIX, Shell Command Language, 2.2.2);
// what ~ stands for is 2.6.1 of the same.
func TestAPathIsTakenAsItIsTypedPastedOrDropped(t *testing.T) {
	t.Setenv("HOME", "/home/asha")
	t.Setenv("USERPROFILE", "/home/asha")
	for line, want := range map[string]string{
		`/home/asha/drive.csv`:                  `/home/asha/drive.csv`,
		`  /home/asha/drive.csv  `:              `/home/asha/drive.csv`,
		`'/home/asha/test drive.csv' `:          `/home/asha/test drive.csv`,
		`"/home/asha/test drive.csv"`:           `/home/asha/test drive.csv`,
		`/home/asha/test\ drive\ \(2\).csv `:    `/home/asha/test drive (2).csv`,
		`/home/asha/test drive.csv`:             `/home/asha/test drive.csv`,
		`file:///home/asha/test%20drive.csv`:    `/home/asha/test drive.csv`,
		`'file:///home/asha/test%20drive.csv'`:  `/home/asha/test drive.csv`,
		`FILE://localhost/home/asha/100%25.csv`: `/home/asha/100%.csv`,
		`file://elsewhere/share/drive.csv`:      `file://elsewhere/share/drive.csv`,
		`file:///home/asha/bad%2`:               `file:///home/asha/bad%2`,
		`file:///C:/Users/asha/drive.csv`:       `C:/Users/asha/drive.csv`,
		`C:\Users\asha\(2) drive.csv`:           `C:\Users\asha\(2) drive.csv`,
		`C:\Users\asha\drive.csv`:               `C:\Users\asha\drive.csv`,
		`\\depot\share\drive.csv`:               `\\depot\share\drive.csv`,
		`/home/asha/100%25.csv`:                 `/home/asha/100%25.csv`, // a path is no address
		`~/logs/drive.csv`:                      `/home/asha/logs/drive.csv`,
		` ~/test\ drive.csv `:                   `/home/asha/test drive.csv`,
		`"~/test drive.csv"`:                    `/home/asha/test drive.csv`,
		`~`:                                     `/home/asha`,
		`~bryn/drive.csv`:                       `~bryn/drive.csv`,
		`\~/drive.csv`:                          `~/drive.csv`,
		`/home/asha/~/drive.csv`:                `/home/asha/~/drive.csv`,
		`./~/drive.csv`:                         `./~/drive.csv`,
		`'/home/asha/asha'\''s drive.csv'`:      `/home/asha/asha's drive.csv`,
		`/home/asha/asha\'s\ drive.csv`:         `/home/asha/asha's drive.csv`,
		`file:///home/asha/asha's%20drive.csv`:  `/home/asha/asha's drive.csv`,
		`it's here.csv`:                         `it's here.csv`,
		`'one' and 'two'`:                       `'one' and 'two'`,
		`"`:                                     `"`,
		`/ends/in\`:                             `/ends/in\`,
		``:                                      ``,
	} {
		assert.Equal(t, want, Path(line), line)
	}
}
