package ui

// The rule of this file: before a job is opened its whole sheet is read, from the top, page by page, with no value cut, and with where each
// figure stands.

import (
	"fmt"

	"fenderside/procedures"
)

// ready says whether the job can be opened, and the sheet is looked at once more.
func (s *sheet) ready() bool { return s.at == len(s.p.Sheet) && len(s.open()) == 0 }

// whole is the part of the whole sheet that is read now, in h rows, and whether it is the last.
func (s *sheet) whole(w, h int) (part []string, last bool) {
	var rows []string
	cited := ""
	for i, f := range s.p.Sheet {
		line := f.Title + ": " + s.stands(f, i, s.cite(f, i, &cited))
		rows = append(rows, hang(fmt.Sprintf("%2d ", i+1), line, min(w, widestText))...)
		rows = append(rows, hang("   ", s.against(f), min(w, widestText))...)
	}
	from := max(0, min(s.turned, len(rows)-h))
	end := min(len(rows), from+max(0, h))
	return rows[from:end], end == len(rows)
}

// cite is where a figure stands: of those in a row that stand at one place, the first says so.
func (s *sheet) cite(f procedures.Field, i int, cited *string) string {
	v := s.values[f.ID]
	if v.From != procedures.FromCard {
		return s.source[i].String()
	}
	if v.Source == *cited {
		return ""
	}
	*cited = v.Source
	return v.Source
}

// turn turns a page of the whole sheet; it reports whether there was one to turn. A row stands on both pages.
func (s *sheet) turn(m *model) bool {
	h := m.bodyHeight()
	head, _ := fit(s.head(m.look, m.width), h)
	part, last := s.whole(m.width, h-len(head))
	if last || len(part) == 0 {
		return false
	}
	s.turned += max(1, len(part)-1)
	return true
}
