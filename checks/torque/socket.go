// The rule of this file: a socket fits when it is the hexagon's own size; one a
// little larger turns on the corners, and the play says by how much.

package torque

import (
	"fmt"
	"math"
	"strings"

	"fenderside/checks/quantity"
)

// SameSize is how far two nominal sizes may differ and still be one size, in
// mm: the rounding of an inch size such as 3/4 in to 19 mm.
var SameSize = Limit{Value: 0.05, Source: "common practice, no source"}

// NearSize is how much a socket may be over its hexagon and still serve one that
// is not seized, in mm: 7/8 in, 22.225 mm, on 22 mm.
var NearSize = Limit{Value: 0.25, Source: "common practice, no source"}

// Fit is how a socket sits on a hexagon.
type Fit string

// The fits. Only Right is the tool to use.
const (
	Right Fit = "right size"
	Loose Fit = "too large"
	Slips Fit = "turns free"
	Tight Fit = "too small"
)

// SocketFit is how a socket of one nominal size sits on a hexagon of another.
type SocketFit struct {
	Fit      Fit
	Play     float64 // mm across flats, negative when the socket is too small
	Turn     float64 // degrees the socket turns from centred until a corner bears
	Bite     float64 // fraction of the height from flat to corner that is left to bear on
	Limit    Limit   // by which sizes count as one
	Workings []string
	Because  string
}

// Socket works out the fit from the nominal widths across flats in mm, without
// their tolerances.
//
// Formula: a hexagon of width s has its corners at s/√3; turned by φ inside a
// socket of width S a corner meets the flat where (s/√3)·cos(30° - φ) = S/2, so
// φ = 30° - arccos((S/s)·cos 30°). From S = s/cos 30° on it turns free.
func Socket(hex, socket float64) (SocketFit, error) {
	for _, v := range []struct {
		what string
		mm   float64
	}{{"hexagon", hex}, {"socket", socket}} {
		if !finite(v.mm) || v.mm < 1 || v.mm > 500 {
			return SocketFit{}, fmt.Errorf("width of the %s %g mm: outside 1 to 500 mm; give the width across flats", v.what, v.mm)
		}
	}
	f := SocketFit{Play: socket - hex, Bite: 1, Limit: SameSize}
	corner, flat := hex/math.Sqrt(3), hex/2
	f.Bite = math.Max(0, (corner-socket/2)/(corner-flat))
	cos := socket / hex * math.Sqrt(3) / 2
	switch {
	case f.Play < -SameSize.Value-hair:
		f.Fit, f.Bite = Tight, 0
	case cos >= 1:
		f.Fit, f.Turn = Slips, 30
	case f.Play > SameSize.Value+hair:
		f.Fit, f.Turn = Loose, 30-math.Acos(cos)*180/math.Pi
	default:
		f.Fit, f.Turn = Right, math.Max(0, 30-math.Acos(cos)*180/math.Pi)
	}
	f.Bite = math.Min(1, f.Bite)
	f.explain(hex, socket, cos)
	return f, nil
}

// hair keeps the last binary digits from deciding at an exact size, in mm.
const hair = 1e-9

func (f *SocketFit) explain(hex, socket, cos float64) {
	f.Workings = []string{fmt.Sprintf("play = %.3f - %.3f = %.3f mm across flats", socket, hex, f.Play)}
	if f.Fit == Loose || f.Fit == Right {
		f.Workings = append(f.Workings,
			fmt.Sprintf("turn before it bears = 30° - arccos(%.3f / %.3f x cos 30°) = 30° - arccos(%.5f) = %.2f° either way", socket, hex, math.Min(cos, 1), f.Turn),
			fmt.Sprintf("bearing on the corners: %.0f %% of the height from flat to corner", f.Bite*100))
	}
	switch f.Fit {
	case Right:
		f.Because = fmt.Sprintf("%.3f mm is the size of this hexagon: use six points, on the whole flat", socket)
	case Loose:
		f.Because = fmt.Sprintf("%.3f mm over: the socket turns %.2f° either way before it bears, then bears on the corners alone and rounds a seized one; use %.4g mm", f.Play, f.Turn, hex)
	case Slips:
		f.Because = fmt.Sprintf("a socket of %.3f mm turns freely on a hexagon of %.4g mm; use %.4g mm", socket, hex, hex)
	case Tight:
		f.Because = fmt.Sprintf("a socket of %.3f mm does not go on a hexagon of %.4g mm; use %.4g mm, and never drive a smaller one on", socket, hex, hex)
	}
}

// ParseAcross reads a width across flats such as 22 mm, 7/8 in or 7/8" and
// gives it in mm. A bare number is an error.
func ParseAcross(text string) (float64, error) {
	given := strings.TrimSpace(text)
	if top, rest, ok := strings.Cut(given, "/"); ok {
		return fraction(text, top, rest)
	}
	q, err := quantity.ParseAs(given, quantity.Length)
	if err != nil {
		return 0, fmt.Errorf("width across flats %q: %w", text, err)
	}
	return q.In("mm")
}

// fraction reads an inch size whose parts are top and rest, as in 7 and 8 in.
func fraction(text, top, rest string) (float64, error) {
	wrong := fmt.Errorf("width across flats %q: no inch size; write it as 7/8 in, or in mm", text)
	under := strings.TrimLeft(rest, "0123456789")
	unit := strings.TrimSpace(under)
	if len(text) > 40 || (unit != "in" && unit != `"` && unit != "inch") {
		return 0, wrong
	}
	n, err := plainNumber(top)
	if err != nil || strings.Contains(top, ".") {
		return 0, wrong
	}
	d, err := plainNumber(rest[:len(rest)-len(under)])
	if err != nil || d == 0 {
		return 0, wrong
	}
	return n / d * 25.4, nil
}
