// Package quiet keeps the terminal from being asked questions before it is known that a screen is wanted.
//
// The screen library asks the terminal for its background colour while it is imported, in front of --help, --version and
// every command that only prints. It asks unless the answer is given beforehand. Go initialises packages in the order of
// their import paths as soon as what they import is initialised, and this path stands before that library's, so importing
// this package from the command settles it. The screens choose no colour by the background.
package quiet

import "github.com/charmbracelet/lipgloss"

func init() { lipgloss.SetHasDarkBackground(true) }
