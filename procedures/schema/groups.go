package schema

// Every field of the format, with its shape and its meaning in one sentence. What a reader of a file must know beyond
// that stands in the package comment of procedures.

import (
	"maps"

	"fenderside/procedures"
)

// group is a group of fields, with what holds between them.
type group struct {
	fields map[string]field
	rules  object
}

// with joins two sets of fields.
func with(a, b map[string]field) map[string]field {
	all := map[string]field{}
	for _, fields := range []map[string]field{a, b} {
		for name, f := range fields {
			all[name] = f
		}
	}
	return all
}

// taking is what says which kind of value a sheet field or reading takes.
func taking() map[string]field {
	return map[string]field{
		"id":       must(id(), "by which the value is named"),
		"title":    must(text(), "what the person is asked for"),
		"quantity": may(to("dimension"), "it takes a figure with its unit, of this quantity"),
		"unit":     may(text(), "the unit that the prompt suggests"),
		"at least": may(text(), "the least value taken: a quantity, or the id of an earlier value"),
		"at most":  may(text(), "the greatest value taken: a quantity, or the id of an earlier value"),
		"between":  may(pair(), "the least and the greatest value taken"),
		"choose":   may(list(text(), 2), "it takes one of these"),
		"text":     may(yes(), "it takes a line of text"),
		"date":     may(yes(), "it takes a date, year-month-day"),
		"optional": may(flag(), "it may be left out"),
	}
}

// takesOne: a sheet field or reading takes one kind of value, and limits belong to quantities.
func takesOne(also object) object {
	needs := object{"unit": []string{"quantity"}, "at least": []string{"quantity"}, "at most": []string{"quantity"}, "between": []string{"quantity"}}
	for name, on := range also {
		needs[name] = on
	}
	var kinds []object
	for _, k := range []string{"quantity", "choose", "text", "date"} {
		kinds = append(kinds, object{"required": []string{k}})
	}
	return object{"oneOf": kinds, "dependentRequired": needs,
		"dependentSchemas": object{"between": object{"not": either(required("at least"), required("at most"))}}}
}

func required(names ...string) object { return object{"required": names} }

// asking is what a step and a way ask for.
func asking() map[string]field {
	return map[string]field{
		"affirm":   may(list(either(text(), to("statement")), 1), "statements to affirm one by one"),
		"readings": may(list(to("reading"), 1), "values to record"),
		"evidence": may(list(to("evidence"), 1), "photos or files to attach"),
		"check":    may(to("checks"), "checks that must pass before the step is complete"),
		"advise":   may(to("checks"), "checks that are shown and recorded, and never hold the step"),
	}
}

// telling is what every step says.
func telling() map[string]field {
	return map[string]field{
		"title":   must(text(), "the action, verb first"),
		"how":     may(texts(), "the action in more words, a line each"),
		"why":     may(text(), "why it is done"),
		"warning": may(either(to("warning"), list(to("warning"), 1)), "shown immediately before the step"),
	}
}

// groups are made when they are asked for: they would slow every start.
func groups() map[string]group {
	return gathered(asAWhole(), ofProtection(), ofSteps(), ofTurns(), ofParts(), ofEntries())
}

// gathered puts groups of several topics into one set.
func gathered(topics ...map[string]group) map[string]group {
	all := map[string]group{}
	for _, topic := range topics {
		maps.Copy(all, topic)
	}
	return all
}

// asAWhole: a procedure as a whole, and what is filled in before it.
func asAWhole() map[string]group {
	return map[string]group{
		"procedure": {fields: map[string]field{
			"fenderside":     must(object{"const": 1}, "format version"),
			"procedure":      must(id(), "the procedure's id"),
			"revision":       must(whole(1), "revision, counted up with every change"),
			"title":          must(text(), "what the procedure does"),
			"scope":          must(text(), "what it is for"),
			"excludes":       may(texts(), "what it is not for"),
			"hazards":        may(texts(), "what can hurt"),
			"protective":     may(texts(), "protective equipment, each naming its hazard"),
			"tools":          may(texts(), "tools wanted"),
			"parts":          may(texts(), "parts wanted"),
			"duties":         may(texts(), "who answers for what"),
			"sources":        may(texts(), "where its words and figures come from"),
			"instruments":    may(each(to("instrument")), "kinds of measuring tools, each under its id"),
			"sheet":          may(list(to("sheet field"), 1), "what is filled in before the job opens"),
			"safeguards":     may(each(to("safeguard")), "conditions that must stand while a hazardous step is done, each under its id"),
			"dangers":        may(each(to("danger")), "what steps expose to, and what keeps it off, each under its id: needs, lapses and causes stated a second time"),
			"steps":          must(list(either(to("step"), to("include"), to("rest")), 1), "the main line, in order"),
			"outside causes": may(ids(), "causes that the steps of an including procedure may bring about"),
			"pinned":         may(list(to("pinned step"), 1), "work that runs beside the main line"),
			"make safe":      may(ids(), "ids of the steps that make safe, in the order of every close"),
		}},
		"instrument": {fields: map[string]field{
			"title":       must(text(), "what it is called"),
			"calibration": may(flag(), "its calibration must be recorded and be in date"),
		}},
		"sheet field": {
			fields: with(taking(), map[string]field{
				"card":    may(text(), "dotted path into the vehicle card; {id} stands for the value of that field"),
				"among":   may(text(), "dotted path to a list in the vehicle card, beyond which nothing is chosen"),
				"propose": may(to("proposal"), "a check of earlier fields proposes the value; a person confirms it or enters another"),
				"hint":    may(text(), "help for the person who fills it in"),
			}),
			rules: takesOne(object{"among": []string{"choose"}}),
		},
		"proposal": {fields: map[string]field{
			"output": must(text(), "what the check gives"),
			"of":     must(oneCheck(), "the check, with its inputs: earlier fields of the sheet, or what is written here"),
		}},
	}
}

// ofProtection: what keeps a person whole.
func ofProtection() map[string]group {
	return map[string]group{
		"safeguard": {fields: map[string]field{
			"title":   must(text(), "what stands when it stands"),
			"lapses":  may(to("lapses"), "what fells it by itself"),
			"if lost": may(either(text(), texts()), "what to do first when it is reported lost"),
			"lasting": may(flag(), "it stays with the vehicle: it rests on nothing and needs no release"),
		}},
		"lapses": {
			fields: map[string]field{
				"on":      may(ids(), "interruption, handover, or causes that steps name"),
				"after":   may(text(), "it stands at most this long"),
				"because": must(text(), "the physical cause"),
			},
			rules: either(required("on"), required("after")),
		},
		"danger": {fields: map[string]field{
			"title":            must(text(), "what can go wrong"),
			"kept off by":      may(ids(), "the safeguards and pinned steps that a step needs which faces it"),
			"comes with":       may(ids(), "interruption, handover, or causes that bring it back: what keeps it off lapses or starts on them"),
			"comes back after": may(text(), "it comes back this long after it was kept off"),
		}},
		"need": {fields: map[string]field{
			"safeguard": must(id(), "the safeguard or pinned step that is needed"),
			"when":      must(when(), "it is needed where these choices were made"),
		}},
		"face": {fields: map[string]field{
			"danger": must(id(), "the danger that is faced"),
			"when":   must(when(), "it is faced where these choices were made"),
		}},
		"warning": {fields: map[string]field{
			"word": must(oneOf(string(procedures.DangerWord), string(procedures.Warn), string(procedures.Caution), string(procedures.Notice)),
				"signal word of ANSI Z535"),
			"hazard":      must(text(), "what can hurt"),
			"consequence": must(text(), "what it does to whom"),
			"avoid":       must(text(), "how to keep from it"),
		}},
	}
}

// ofSteps: the steps.
func ofSteps() map[string]group {
	return map[string]group{
		"step": {
			fields: with(with(telling(), asking()), map[string]field{
				"gate":      may(id(), "a gate: it secures a safeguard or makes safe, and is never skipped"),
				"do":        may(id(), "a step that is no gate"),
				"when":      may(when(), "it applies where these choices were made"),
				"needs":     may(list(either(id(), to("need")), 1), "safeguards that must stand, and pinned steps that must be over"),
				"faces":     may(list(either(id(), to("face")), 1), "dangers that it exposes to"),
				"brings":    may(ids(), "dangers that its causes bring on"),
				"secures":   may(id(), "the safeguard that this gate puts in place"),
				"releases":  may(ids(), "safeguards that it takes away on purpose"),
				"causes":    may(ids(), "what happens in the world while it is done"),
				"shows":     may(ids(), "sheet fields and earlier readings that are shown beside the step"),
				"due after": may(ids(), "steps whose beginning makes this one due at every close"),
				"either":    may(list(to("way"), 2), "ways to do it, of which one is chosen"),
				"wait":      may(to("wait"), "makes the step timed"),
				"ask":       may(to("ask"), "a decision"),
				"repeat":    may(to("repeat"), "how often it may be entered"),
				"witness":   may(flag(), "a second person's key must sign"),
				"optional":  may(flag(), "it may be skipped, with a reason"),
				"alone":     may(flag(), "it is done only where the procedure is worked on its own; an include leaves it out"),
				"makes way": may(flag(), "it stands for the work of an including procedure, whose steps take its place"),
				"then":      may(id(), "the step it leads to, or complete, referred or abandoned; left out, the next step"),
			}),
			rules: object{
				"oneOf":             []object{required("gate"), required("do")},
				"dependentRequired": object{"secures": []string{"gate"}},
				"not":               either(required("ask", "then"), required("ask", "either")),
			},
		},
		"way": {fields: with(asking(), map[string]field{
			"way": must(id(), "its id, by which conditions name it"),
			"say": must(text(), "what choosing it says"),
		})},
		"pinned step": {fields: with(telling(), map[string]field{
			"pin":       must(id(), "its id"),
			"affirm":    asking()["affirm"],
			"readings":  asking()["readings"],
			"evidence":  asking()["evidence"],
			"starts on": must(ids(), "causes that start it, and start it anew"),
			"at least":  must(text(), "how long it runs at least"),
			"remind":    may(text(), "remind this often while it runs"),
		})},
	}
}

// ofTurns: how long a step waits, and where the work goes on.
func ofTurns() map[string]group {
	return map[string]group{
		"wait": {
			fields: map[string]field{
				"at least":  may(text(), "complete no sooner than this long after its start"),
				"at most":   may(text(), "complete within this long of its start"),
				"for":       must(text(), "what is waited for"),
				"if missed": may(text(), "what to do when the time is over"),
			},
			rules: object{"anyOf": []object{required("at least"), required("at most")},
				"dependentRequired": object{"at most": []string{"if missed"}, "if missed": []string{"at most"}}},
		},
		"ask": {fields: map[string]field{
			"question": must(text(), "what is decided"),
			"answers":  must(list(to("answer"), 2), "the choices"),
		}},
		"answer": {fields: map[string]field{
			"say":  must(text(), "the answer: something seen"),
			"then": may(id(), "the step it leads to, or complete, referred or abandoned; left out, the next step"),
		}},
		"repeat": {fields: map[string]field{
			"at most": must(whole(1), "how often at most"),
			"until":   must(text(), "the stop condition, in words"),
		}},
	}
}

// ofParts: what a procedure takes from another.
func ofParts() map[string]group {
	return map[string]group{
		"include": {fields: map[string]field{
			"include": must(id(), "the procedure whose steps belong here, up to where it makes way"),
			"as":      must(id(), "what it is called here: its ids get this and a point before them"),
			"with":    may(each(text()), "for its sheet fields: ids of this procedure, or figures"),
			"using":   may(each(id()), "for the safeguards whose gates are left to this procedure: safeguards of this procedure"),
			"causes":  may(each(id()), "for its outside causes: causes of this procedure"),
			"needs":   may(list(either(id(), to("need")), 1), "what each of its steps needs beside its own, but for those that make safe"),
			"faces":   may(list(either(id(), to("face")), 1), "dangers of this procedure that each of its steps exposes to, but for those that make safe"),
			"ends":    may(to("ends"), "where its early ends lead; those left out are ends of the whole"),
		}},
		"ends": {fields: map[string]field{
			"referred":  may(id(), "the step, or end, that its referred leads to"),
			"abandoned": may(id(), "the step, or end, that its abandoned leads to"),
		}},
		"rest": {fields: map[string]field{
			"rest of": must(id(), "the include whose remaining steps belong here"),
		}},
	}
}

// ofEntries: what a step asks for and judges.
func ofEntries() map[string]group {
	return map[string]group{
		"statement": {fields: map[string]field{
			"say":  must(text(), "what is affirmed: something seen"),
			"when": may(when(), "it applies where these choices were made"),
		}},
		"reading": {
			fields: with(taking(), map[string]field{
				"magnitude":  may(flag(), "judged without its sign"),
				"same as":    may(id(), "must equal this sheet field or earlier reading"),
				"instrument": may(id(), "the kind of instrument it is taken with"),
				"series":     may(flag(), "several values in order, until the check is satisfied"),
				"apart":      may(text(), "least time between two values of a series"),
				"when":       may(when(), "it applies where these choices were made"),
			}),
			rules: takesOne(object{"magnitude": []string{"quantity"}, "apart": []string{"series"}}),
		},
		"evidence": {fields: map[string]field{
			"id":       must(id(), "its id"),
			"title":    must(text(), "what it shows"),
			"optional": may(flag(), "it may be left out"),
			"when":     may(when(), "it applies where these choices were made"),
		}},
		"written out": {fields: map[string]field{
			"words": must(text(), "words for a check, which name nothing though they have the form of an id"),
		}},
		"found": {fields: map[string]field{
			"output": must(text(), "what the check gives"),
			"of":     must(text(), "the check that found it"),
			"at":     must(id(), "the earlier step that made the check"),
		}},
	}
}
