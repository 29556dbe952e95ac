// Package noprobe keeps one rule: starting the program asks the terminal nothing.
//
// The library that draws the screens asks the terminal for its background colour as soon as it is linked in, even where
// only a version is printed. Saying beforehand that the background is dark makes the question needless. Go initialises
// packages in order of their import paths once what they import is ready, and this path comes before that library's.
package noprobe

import "github.com/charmbracelet/lipgloss"

func init() { lipgloss.SetHasDarkBackground(true) }
