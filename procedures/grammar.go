package procedures

// The fields of every group of a procedure file, in the order in which they are documented.

var (
	procedureFields = []string{"fenderside", "procedure", "revision", "title", "scope", "excludes", "hazards", "protective",
		"tools", "parts", "duties", "sources", "instruments", "sheet", "safeguards", "dangers", "outside causes", "steps", "pinned", "make safe"}
	instrumentFields = []string{"title", "calibration"}
	sheetFields      = []string{"id", "title", "quantity", "unit", "at least", "at most", "between", "choose", "text", "date",
		"optional", "card", "among", "propose", "hint"}
	proposeFields   = []string{"output", "of"}
	safeguardFields = []string{"title", "lapses", "if lost", "lasting"}
	lapseFields     = []string{"on", "after", "because"}
	dangerFields    = []string{"title", "kept off by", "comes with", "comes back after"}
	stepFields      = []string{"gate", "do", "title", "how", "why", "warning", "when", "needs", "faces", "secures", "releases", "causes", "brings",
		"due after", "shows", "either", "affirm", "readings", "evidence", "check", "advise", "wait", "ask", "repeat", "witness", "optional", "alone", "makes way", "then"}
	includeFields   = []string{"include", "as", "with", "using", "causes", "needs", "faces", "ends"}
	endFields       = []string{"referred", "abandoned"}
	restFields      = []string{"rest of"}
	needFields      = []string{"safeguard", "when"}
	faceFields      = []string{"danger", "when"}
	warningFields   = []string{"word", "hazard", "consequence", "avoid"}
	wayFields       = []string{"way", "say", "affirm", "readings", "evidence", "check", "advise"}
	statementFields = []string{"say", "when"}
	readingFields   = []string{"id", "title", "quantity", "unit", "at least", "at most", "between", "magnitude", "choose",
		"text", "date", "same as", "instrument", "series", "apart", "optional", "when"}
	evidenceFields = []string{"id", "title", "optional", "when"}
	wordsFields    = []string{"words"}
	foundFields    = []string{"output", "of", "at"}
	waitFields     = []string{"at least", "at most", "for", "if missed"}
	askFields      = []string{"question", "answers"}
	answerFields   = []string{"say", "then"}
	repeatFields   = []string{"at most", "until"}
	pinFields      = []string{"pin", "title", "how", "why", "warning", "affirm", "readings", "evidence", "starts on", "at least", "remind"}
)

// Grammar returns the fields of every group of a procedure file, by the name of the group. A schema of the format
// can be held against it.
func Grammar() map[string][]string {
	return map[string][]string{
		"procedure": procedureFields, "instrument": instrumentFields, "sheet field": sheetFields, "proposal": proposeFields,
		"safeguard": safeguardFields, "lapses": lapseFields, "danger": dangerFields, "step": stepFields, "include": includeFields, "ends": endFields, "rest": restFields, "need": needFields, "face": faceFields,
		"warning": warningFields, "way": wayFields, "statement": statementFields, "reading": readingFields,
		"evidence": evidenceFields, "written out": wordsFields, "found": foundFields, "wait": waitFields, "ask": askFields, "answer": answerFields,
		"repeat": repeatFields, "pinned step": pinFields,
	}
}

// CardGrammar returns the fields of every group of a vehicle card, by the name of the group.
func CardGrammar() map[string][]string {
	return map[string][]string{
		"card": cardFields, "vehicle": vehicleFields, "engine": engineFields, "bank": bankFields, "sensor": sensorFields,
		"wheels": wheelFields, "fact": factFields,
	}
}
