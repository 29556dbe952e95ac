package picture

// The rule of this file: a time that is waited for is read from across the bay, and how much of it has passed is seen
// without reading.

import (
	"strings"
	"sync"
	"time"

	"github.com/charmbracelet/x/ansi"
)

// figuresHigh are figures of five rows.
var figuresHigh = sync.OnceValue(func() map[rune][5]string {
	return map[rune][5]string{
		'0': {" ### ", "#   #", "#   #", "#   #", " ### "}, '1': {"  #  ", " ##  ", "  #  ", "  #  ", " ### "},
		'2': {" ### ", "#   #", "  ## ", " #   ", "#####"}, '3': {"#### ", "    #", " ### ", "    #", "#### "},
		'4': {"#   #", "#   #", "#####", "    #", "    #"}, '5': {"#####", "#    ", "#### ", "    #", "#### "},
		'6': {" ### ", "#    ", "#### ", "#   #", " ### "}, '7': {"#####", "    #", "   # ", "  #  ", "  #  "},
		'8': {" ### ", "#   #", " ### ", "#   #", " ### "}, '9': {" ### ", "#   #", " ####", "    #", " ### "},
		':': {"   ", " # ", "   ", " # ", "   "},
	}
})

const widestTime = 60

// Countdown draws the time that is left, as it is written on the screen, in large figures, over a bar of what has passed.
func Countdown(left string, passed, whole time.Duration, f Form) Picture {
	p := Picture{Title: "TIME LEFT", Words: []string{"Time left: " + left + "."}}
	said := "TIME LEFT " + left
	rows := make([]string, 5, 7)
	for _, r := range left {
		if high, ok := figuresHigh()[r]; ok {
			for i := range rows {
				rows[i] += high[i] + "  "
			}
		}
	}
	if ansi.StringWidth(rows[0]) > f.Width {
		return p.inWords(f)
	}
	if room := min(f.Width, widestTime) - 2; whole > 0 && room >= 10 {
		done := min(room, int(float64(room)*float64(max(0, passed))/float64(whole)))
		rows = append(rows, "["+strings.Repeat("=", done)+strings.Repeat(" ", room-done)+"]")
	}
	for i := range rows {
		rows[i] = strings.TrimRight(rows[i], " ")
	}
	p.Rows = append(rows, captions(f.Width, said)...)
	return p
}
