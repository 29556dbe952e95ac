package procedures

// changes are the faulty files, each one change of base.yaml.
var changes = []change{
	{"an unknown field", []string{"title: Base of the faulty files", "title: Base of the faulty files\n‸scop: twice"}, []string{
		"the procedure has no field \"scop\" (did you mean \"scope\"?)"}},
	{"an unknown field of a step", []string{"    title: Warm it", "    title: Warm it\n    ‸cause: [heated]"}, []string{
		"a step has no field \"cause\" (did you mean \"causes\"?)"}},
	{"a field of another group", []string{"    repeat: {at most: 2, until: it moves}", "    repeat: {at most: 2, until: it moves, ‸while: it moves}"}, []string{
		"repeat of step \"warm\" has no field \"while\" (known: at most, until)"}},
	{"skip on a gate", []string{"    title: Close it", "    title: Close it\n    ‸skip: true"}, []string{
		"a step has no field \"skip\" (known: gate, do, title, how, why, warning, when, needs, faces, secures, releases, causes …)"}},
	{"a field with underscores", []string{"make safe: [close]", "‸make_safe: [close]", "  - gate: close", "  - ‸gate: close", "releases: [off, cold]", "releases: [‸off, cold]"}, []string{
		"gate \"close\" secures nothing and does not make safe (add secures, name it in make safe, or make it a do)",
		"step \"close\" releases a safeguard and is not in make safe (add close to make safe)",
		"the procedure has no field \"make_safe\" (did you mean \"make safe\"?)"}},
	{"a field twice", []string{"revision: 1", "revision: 1\n‸revision: 2"}, []string{
		"the field \"revision\" stands here twice, first on line 3 (keep one of the two)"}},
	{"a safeguard twice", []string{"  cold:\n    title: Cold", "  ‸off:\n    title: Off\n  cold:\n    title: Cold"}, []string{
		"the field \"off\" stands here twice, first on line 13 (keep one of the two)"}},
	{"an anchor", []string{"title: Base of the faulty files", "title: ‸&a Base of the faulty files"}, []string{
		"anchors are not taken: \"&a\" (write the value out wherever it is needed)"}},
	{"an alias", []string{"scope: For tests", "scope: ‸*a"}, []string{
		"aliases are not taken (write the value out, in quotes where it begins with *)"}},
	{"a merge key", []string{"  meter: {title: Meter, calibration: true}", "  meter: {title: Meter, calibration: true, ‸<<: {}}"}, []string{
		"merge keys are not taken (write the fields out)"}},
	{"a tag", []string{"scope: For tests", "scope: ‸!!str For tests"}, []string{
		"tags are not taken: \"!!str\" (take it out; put quotes around a text)"}},
	{"a key that is a list", []string{"scope: For tests", "scope: For tests\n‸[a, b]: c"}, []string{
		"a field's name is a list (put a word before the colon)"}},
	{"a second document", []string{"make safe: [close]", "make safe: [close]\n‸---\nmore: 1"}, []string{
		"a second document begins here (put it in a file of its own)"}},
	{"no YAML", []string{"scope: For tests", "scope: For tests\n ‸more: here"}, []string{
		"this is not YAML: mapping values are not allowed in this context (put quotes around a text that has a colon and a space in it, and look at the indentation)"}},
	{"a tab as indentation", []string{"    title: Turned off", "\t‸title: Turned off"}, []string{
		"this is not YAML: found character that cannot start any token (indent with spaces, and put quotes around a text that begins with a sign)"}},
	{"an open bracket", []string{"needs: [off]\n    causes", "‸needs: [off\n    causes"}, []string{
		"this is not YAML: did not find expected ',' or ']' (close the bracket, put a comma between its items, and quotes around a text with a comma, a question mark or a bracket in it)"}},
	{"nothing in a field", []string{"scope: For tests", "scope:‸ "}, []string{
		"scope of the procedure is empty (write it, or take the field out)"}},
	{"two lines of text", []string{"scope: For tests", "scope: ‸|\n  one\n  two"}, []string{
		"scope of the procedure has several lines; one line belongs here (write it folded, with > instead of |)"}},
	{"a list for a text", []string{"scope: For tests", "scope: ‸[For, tests]"}, []string{
		"scope of the procedure is a list; one text belongs here (write one text)"}},
	{"spaces around a text", []string{"scope: For tests", "scope: ‸\" For tests\""}, []string{
		"scope of the procedure begins or ends with spaces (take them out)"}},
	{"an empty list", []string{"affirm: [The cover is on]", "affirm: ‸[]"}, []string{
		"affirm of step \"close\" is an empty list (write its entries, or take the field out)"}},
	{"a text for a list", []string{"affirm: [The cover is on]", "affirm: ‸The cover is on"}, []string{
		"affirm of step \"close\" is a single value; a list belongs here (put a - before each entry, or write [ ... ] around them)"}},
	{"a text for a group", []string{"    repeat: {at most: 2, until: it moves}", "    repeat: ‸twice"}, []string{
		"repeat of step \"warm\" is a single value; fields and their values belong here (its fields: at most, until)"}},
	{"no flag", []string{"calibration: true", "calibration: ‸soon"}, []string{
		"calibration of instrument \"meter\" is neither true nor false (write true or false)"}},
	{"no number", []string{"revision: 1", "revision: ‸one"}, []string{
		"revision of the procedure is no whole number (write a whole number such as 1)"}},
	{"a number below the least", []string{"{at most: 2, until", "{at most: ‸0, until"}, []string{
		"at most of repeat of step \"warm\" is 0 (write a number from 1 to 1000000)"}},
	{"another format", []string{"fenderside: 1", "fenderside: ‸2"}, []string{
		"the file has format 2 (this program reads format 1)"}},
	{"an entry twice", []string{"affirm: [The cover is on]", "affirm: [The cover is on, ‸The cover is on]"}, []string{
		"step \"close\" has the statement \"The cover is on\" twice (keep one of the two)"}},
	{"an override of direction", []string{"scope: For tests", "scope: For ‸\u202etests"}, []string{
		"bidirectional control character U+202E in the text (take it out, or save the file as UTF-8)"}},
	{"an escape that hides", []string{"scope: For tests", "scope: ‸\"For \\u200B tests\""}, []string{
		"invisible character U+200B in the text (take it out)"}},
	{"an invisible character in a comment", []string{"scope: For tests", "scope: For tests # a‸\u2066b"}, []string{
		"bidirectional control character U+2066 in the text (take it out, or save the file as UTF-8)"}},
	{"a missing field", []string{"fenderside: 1", "‸fenderside: 1", "scope: For tests\n", ""}, []string{
		"the procedure has no \"scope\" (add scope: ...)"}},
	{"a step with no title", []string{"  - do: work\n    title: Undo it", "  - ‸do: work"}, []string{
		"step \"work\" has no \"title\" (add title: ...)"}},
	{"a step with no id", []string{"  - do: warm\n    title", "  - ‸title"}, []string{
		"a step has no id (begin it with gate: id or do: id)"}},
	{"a gate that is a do", []string{"  - gate: close", "  - ‸gate: close\n    do: close"}, []string{
		"a step is a gate and a do at once (keep one of the two)"}},
	{"an id with capitals", []string{"  - gate: cool", "  - gate: ‸Cool"}, []string{
		"\"Cool\" is no id (lower-case letters and digits, with single - or _ between them, beginning with a letter)"}},
	{"an id twice", []string{"{id: tight, title", "{id: ‸heat, title"}, []string{
		"the id \"heat\" is taken by the reading on line 29 (give each its own id)"}},
	{"an id of a step for a reading", []string{"{id: tight, title", "{id: ‸turn-off, title"}, []string{
		"the id \"turn-off\" is taken by the step on line 20 (give each its own id)"}},
	{"a step named as an end", []string{"  - do: warm", "  - do: ‸referred"}, []string{
		"\"referred\" is an end of the job, no id (choose another id)"}},
	{"a bare number", []string{"at most: 48 °C", "at most: ‸48"}, []string{
		"\"48\" is a bare number; a temperature belongs here (write it as a number and a unit: °C, °F, K)"}},
	{"another dimension", []string{"at most: 48 °C", "at most: ‸48 V"}, []string{
		"\"48 V\" is a voltage; a temperature belongs here (write it as a number and a unit: °C, °F, K)"}},
	{"an unknown unit", []string{"at most: 48 °C", "at most: ‸48 degrees hot"}, []string{
		"\"48 degrees hot\" is no temperature: unknown unit \"degrees hot\" (write it as a number and a unit: °C, °F, K)"}},
	{"a unit of another dimension", []string{"unit: N·m}", "unit: ‸°C}"}, []string{
		"\"°C\" is a unit of temperature; sheet field \"low\" takes a torque (write a number and a unit: N·m, lbf·ft, lbf·in, kgf·m, kgf·cm, N·cm, daN·m)"}},
	{"an unknown unit to suggest", []string{"unit: N·m}", "unit: ‸Nmm}"}, []string{
		"there is no unit \"Nmm\" (write a number and a unit: N·m, lbf·ft, lbf·in, kgf·m, kgf·cm, N·cm, daN·m)"}},
	{"an unknown quantity", []string{"quantity: temperature", "quantity: ‸temprature"}, []string{
		"there is no quantity \"temprature\" (did you mean \"temperature\"?)"}},
	{"between from high to low", []string{"quantity: torque, unit: N·m}", "quantity: torque, between: ‸[9 N·m, 5 N·m]}"}, []string{
		"9 N·m of sheet field \"low\" is more than 5 N·m (write the lower limit first)"}},
	{"between beside at most", []string{"at most: 48 °C", "‸at most: 48 °C, between: [1 °C, 2 °C]"}, []string{
		"reading \"heat\" has \"at most\", but it has between too (write one or the other)"}},
	{"between with one limit", []string{"at most: 48 °C", "between: ‸[1 °C]"}, []string{
		"between of reading \"heat\" takes two different limits (write [low, high])"}},
	{"a bound on a text", []string{"text: true, optional", "text: true, ‸at most: 1 V, optional"}, []string{
		"sheet field \"note\" has \"at most\", but it takes no quantity (take it out, or add quantity: ...)"}},
	{"no kind", []string{"{id: note, title: Note, text: true, optional: true}", "‸{id: note, title: Note}"}, []string{
		"sheet field \"note\" does not say what it takes (add one of: quantity, choose, text: true, date: true)"}},
	{"two kinds", []string{"text: true, optional", "text: true, ‸date: true, optional"}, []string{
		"sheet field \"note\" takes \"text\" and \"date\" at once (keep one of the two)"}},
	{"a choice of one", []string{"[left, right]", "‸[left]"}, []string{
		"choose of sheet field \"side\" leaves no choice (give at least two)"}},
	{"a bound that is nowhere", []string{"at least: low", "at least: ‸lo"}, []string{
		"a bound names \"lo\", which is defined nowhere (did you mean \"low\"?)"}},
	{"a bound recorded later", []string{"at most: 48 °C", "at most: ‸tight"}, []string{
		"a bound names the reading \"tight\", which is recorded later, on line 34 (use what is recorded earlier, or move it up)"}},
	{"a bound on itself", []string{"at least: low", "at least: ‸tight"}, []string{
		"a bound names the reading \"tight\", which is recorded later, on line 34 (use what is recorded earlier, or move it up)"}},
	{"a bound of another dimension", []string{"at least: low", "at least: ‸heat"}, []string{
		"a bound names the reading \"heat\", which is a temperature; a torque belongs here (known: low)"}},
	{"a bound that chooses", []string{"at least: low", "at least: ‸side"}, []string{
		"a bound names the sheet field \"side\", which is no quantity (known: low)"}},
	{"an optional bound", []string{"unit: N·m}", "unit: N·m, optional: true}", "at least: low", "at least: ‸low"}, []string{
		"a bound depends on the sheet field \"low\", which is optional (take optional from it, or do not depend on it)"}},
	{"a list as a series bound", []string{"at most: 48 °C", "at most: 48 °C, ‸apart: 10 s"}, []string{
		"reading \"heat\" has \"apart\", but it takes one value (take it out, or add series: true)"}},
	{"an unknown instrument", []string{"at most: 48 °C", "at most: 48 °C, instrument: ‸metre"}, []string{
		"there is no instrument \"metre\" (did you mean \"meter\"?)"}},
	{"same as of another kind", []string{"at least: low", "same as: ‸side"}, []string{
		"same as names the sheet field \"side\", which does not take what reading \"tight\" takes (both must take the same)"}},
	{"same as with other choices", []string{"{id: tight, title: Torque, quantity: torque, at least: low}", "{id: tight, title: Torque, choose: [left, rigth], same as: ‸side}"}, []string{
		"the choices of reading \"tight\" are not those of \"side\" (write the same choices in the same order)"}},
	{"a step that shows what a reading of it is compared with", []string{"at least: low", "same as: low", "    title: Undo it", "    title: Undo it\n    shows: [‸low]"}, []string{
		"step \"work\" shows \"low\", with which a reading of it is compared (take it out: what is to be looked at is not shown first)"}},
	{"a step that shows what it records", []string{"    title: Undo it", "    title: Undo it\n    shows: [heat, ‸tight]"}, []string{
		"shows names the reading \"tight\", which is recorded later, on line 35 (use what is recorded earlier, or move it up)"}},
	{"a step that shows another step", []string{"    title: Undo it", "    title: Undo it\n    shows: [side, note, ‸cool]"}, []string{
		"shows names the step \"cool\", which holds no value (known: heat, low, note, side)"}},
	{"same as nothing", []string{"at least: low", "same as: ‸hight"}, []string{
		"same as names \"hight\", which is defined nowhere (known: low)"}},
	{"an unknown check", []string{"    ask: {question", "    check: {‸touch-save: {surface: tight}}\n    ask: {question"}, []string{
		"there is no check \"touch-save\" (did you mean \"touch-safe\"?)"}},
	{"a check without its inputs", []string{"    ask: {question", "    check: {torque-applied: ‸{reading: tight, low: low, high: 9 N·m}}\n    ask: {question"}, []string{
		"check \"torque-applied\" has no \"accuracy\" (add accuracy: a ratio, or an id)"}},
	{"an unknown input", []string{"    ask: {question", "    check: {torque-applied: {reading: tight, low: low, high: 9 N·m, accuracy: 4 %, ‸weather: low}}\n    ask: {question"}, []string{
		"check \"torque-applied\" has no field \"weather\" (known: reading, low, high, accuracy, wrench, adapter, angle, pull)"}},
	{"an input of another dimension", []string{"    ask: {question", "    check: {torque-applied: {reading: tight, low: ‸heat, high: 9 N·m, accuracy: 4 %}}\n    ask: {question"}, []string{
		"check \"torque-applied\" input \"low\" names the reading \"heat\", which is of another kind (give a torque, or an id)"}},
	{"a figure of another dimension", []string{"    ask: {question", "    check: {torque-applied: {reading: tight, low: low, high: ‸9 V, accuracy: 4 %}}\n    ask: {question"}, []string{
		"\"9 V\" is a voltage; a torque belongs here (write it as a number and a unit: N·m, lbf·ft, lbf·in, kgf·m, kgf·cm, N·cm, daN·m)"}},
	{"a bare number for a check", []string{"    ask: {question", "    check: {torque-applied: {reading: tight, low: low, high: ‸9, accuracy: 4 %}}\n    ask: {question"}, []string{
		"\"9\" is a bare number; a torque belongs here (write it as a number and a unit: N·m, lbf·ft, lbf·in, kgf·m, kgf·cm, N·cm, daN·m)"}},
	{"one value for a series", []string{"quantity: temperature, at most: 48 °C}", "quantity: temperature, at most: 48 °C}\n    check: {touch-safe: {surface: ‸heat, limit: 48 °C, method: infrared}}"}, []string{
		"check \"touch-safe\" input \"surface\" names the reading \"heat\", which is of another kind (give the id of a series of temperature)"}},
	{"a choice the check does not know", []string{"quantity: temperature, at most: 48 °C}", "quantity: temperature, at most: 48 °C, series: true}\n    check: {touch-safe: {surface: heat, limit: 48 °C, method: ‸infra-red}}"}, []string{
		"check \"touch-safe\" input \"method\" is \"infra-red\", which is neither a choice nor an id (did you mean \"infrared\"?)"}},
	{"choices the check does not know", []string{"choose: [left, right]", "choose: [infrared, by hand]", "quantity: temperature, at most: 48 °C}", "quantity: temperature, at most: 48 °C, series: true}\n    check: {touch-safe: {surface: heat, limit: 48 °C, method: ‸side}}"}, []string{
		"check \"touch-safe\" input \"method\" takes \"by hand\" from \"side\", which the check does not know (known: contact probe, infrared)"}},
	{"an input recorded later", []string{"quantity: temperature, at most: 48 °C}", "quantity: temperature, at most: 48 °C, series: true}\n    check: {touch-safe: {surface: heat, limit: 48 °C, method: infrared, ambient: ‸tight}}"}, []string{
		"check \"touch-safe\" input \"ambient\" names the reading \"tight\", which is recorded later, on line 35 (use what is recorded earlier, or move it up)"}},
	{"when on no choice", []string{"    title: Warm it", "    title: Warm it\n    when: {‸low: 3 N·m}"}, []string{
		"when names the sheet field \"low\", which is no choice (known: side, work)"}},
	{"when on nothing", []string{"    title: Warm it", "    title: Warm it\n    when: {‸sid: left}"}, []string{
		"when names \"sid\", which is defined nowhere (did you mean \"side\"?)"}},
	{"when with no such value", []string{"    title: Warm it", "    title: Warm it\n    when: {side: [left, ‸rigth]}"}, []string{
		"\"rigth\" is no choice of \"side\" (did you mean \"right\"?)"}},
	{"when on a later answer", []string{"    title: Let it cool", "    title: Let it cool\n    when: {‸work: It is free}"}, []string{
		"when names the step \"work\", which is recorded later, on line 31 (use what is recorded earlier, or move it up)"}},
	{"when on its own answer", []string{"    ask: {question: How is it, answers: [{say: It is free,", "    affirm: [{say: The bolt turns, when: {‸work: It is free}}]\n    ask: {question: How is it, answers: [{say: It is free,"}, []string{
		"when names the step \"work\", which is recorded later, on line 30 (use what is recorded earlier, or move it up)"}},
	{"when on a step without choice", []string{"    title: Warm it", "    title: Warm it\n    when: {‸cool: left}"}, []string{
		"when names the step \"cool\", which is no choice (known: side, work)"}},
	{"an empty when", []string{"    title: Warm it", "    title: Warm it\n    when: ‸{}"}, []string{
		"when of step \"warm\" is empty (write {id: value}, or take when out)"}},
	{"an optional gate", []string{"    title: Close it", "    title: Close it\n    ‸optional: true"}, []string{
		"gate \"close\" is optional; a gate is never skipped (take it out; a gate may have when)"}},
	{"a gate that serves nothing", []string{"  - do: warm\n    title: Warm it", "  - ‸gate: warm\n    affirm: [It is warm]\n    title: Warm it"}, []string{
		"gate \"warm\" secures nothing and does not make safe (add secures, name it in make safe, or make it a do)"}},
	{"a do that secures", []string{"    title: Warm it", "    title: Warm it\n    ‸secures: cold"}, []string{
		"step \"warm\" has \"secures\", but only a gate secures (make it a gate that asks for evidence)"}},
	{"a gate that asks nothing", []string{"  - gate: turn-off", "  - ‸gate: turn-off", "    secures: off\n    affirm: [The key is in my pocket]", "    secures: off"}, []string{
		"gate \"turn-off\" can ask for no evidence (add affirm, readings, evidence or either that is asked in every case and not optional)"}},
	{"a gate that asks only on one side", []string{"  - gate: turn-off", "  - ‸gate: turn-off", "affirm: [The key is in my pocket]", "affirm: [{say: The key is in my pocket, when: {side: left}}]"}, []string{
		"gate \"turn-off\" can ask for no evidence (add affirm, readings, evidence or either that is asked in every case and not optional)"}},
	{"a gate that asks what may be left out", []string{"  - gate: cool", "  - ‸gate: cool", "quantity: temperature, at most: 48 °C}", "quantity: temperature, optional: true}"}, []string{
		"gate \"cool\" can ask for no evidence (add affirm, readings, evidence or either that is asked in every case and not optional)"}},
	{"a statement that says nothing", []string{"affirm: [The cover is on]", "affirm: [The cover is on, ‸\"OK!\"]"}, []string{
		"the statement \"OK!\" says nothing of the work (state what is seen, such as: The plug is in my pocket)"}},
	{"a way that asks nothing", []string{"    affirm: [The cover is on]", "    either: [{way: one, say: By the latch, affirm: [It clicked]}, ‸{way: two, say: By the bolt}]"}, []string{
		"way \"two\" of gate \"close\" can ask for no evidence (add affirm, readings or evidence that is not optional)"}},
	{"one way", []string{"    affirm: [The cover is on]", "    either: ‸[{way: one, say: By the latch, affirm: [It clicked]}]"}, []string{
		"either of step \"close\" leaves no choice (give at least two ways)"}},
	{"a way twice", []string{"    affirm: [The cover is on]", "    either: [{way: one, say: By the latch, affirm: [It clicked]}, {way: ‸one, say: By the bolt, affirm: [It turned]}]"}, []string{
		"step \"close\" has two ways \"one\" (give each way its own id)"}},
	{"ways and a question", []string{"    affirm: [The cover is on]", "    either: [{way: one, say: By the latch, affirm: [It clicked]}, {way: two, say: By the bolt, affirm: [It turned]}]\n    ‸ask: {question: Shut, answers: [{say: Shut}, {say: Open}]}"}, []string{
		"step \"close\" has ways and a question; both would be recorded under its id (ask in a step of its own)"}},
	{"what another way records", []string{"    affirm: [The cover is on]", "    either: [{way: one, say: By the latch, readings: [{id: gap, title: Gap, quantity: length}]}, {way: two, say: By the bolt, readings: [{id: slot, title: Slot, quantity: length, at most: ‸gap}]}]"}, []string{
		"a bound names the reading \"gap\", which only the way \"one\" records (use what every way records, or what this way records)"}},
	{"a safeguard without a gate", []string{"  cold:\n    title: Cold", "  ‸dry:\n    title: Dry\n    lasting: true\n  cold:\n    title: Cold"}, []string{
		"no gate secures safeguard \"dry\" (add a gate with secures: dry)"}},
	{"a safeguard with two gates", []string{"    releases: [off, cold]", "    releases: [‸off, cold]\n    secures: ‸off"}, []string{
		"gate \"close\" releases what it secures (release it in a step of its own)",
		"safeguard \"off\" is already secured by gate \"turn-off\" (use either for two ways of one gate)"}},
	{"an unknown safeguard", []string{"    secures: cold", "    secures: ‸colt"}, []string{
		"there is no safeguard \"colt\" (did you mean \"cold\"?)"}},
	{"a need for nothing", []string{"    needs: [off]\n    causes", "    needs: [‸offf]\n    causes"}, []string{
		"there is no safeguard or pinned step \"offf\" to need (did you mean \"off\"?)"}},
	{"a need twice", []string{"needs: [off, cold, watch]", "needs: [off, cold, watch, ‸watch]"}, []string{
		"step \"work\" needs \"watch\" twice (keep one of the two)"}},
	{"a gate that needs what it secures", []string{"    secures: off", "    secures: off\n    needs: [‸off]"}, []string{
		"the gate of \"off\" needs \"off\" itself (take the need out)"}},
	{"gates in a circle", []string{"    secures: off", "    secures: off\n    needs: [cold]", "needs: [off]\n    readings", "needs: [‸off]\n    readings", "causes: [heated]", "causes: [‸heated]"}, []string{
		"gates need each other in a circle: \"off\" needs \"cold\" needs \"off\" (take one of these needs out)",
		"step \"warm\" causes \"heated\", which fells \"off\" that it needs (cause it in another step, or take the need out)"}},
	{"a lapse nothing causes", []string{"{on: [handover], because", "{on: [handover, ‸rain], because"}, []string{
		"no step causes \"rain\" (known: handover, heated, interruption)"}},
	{"a cause nothing follows", []string{"causes: [heated]", "causes: [heated, ‸heat-up]"}, []string{
		"nothing lapses or starts on \"heat-up\" (known: handover, heated)"}},
	{"a cause from outside", []string{"causes: [heated]", "causes: [heated, ‸handover]"}, []string{
		"\"handover\" is no cause of a step; it comes from outside (choose another name)"}},
	{"a lapse without because", []string{"    lapses: {on: [heated], because: it was heated}", "    lapses: ‸{on: [heated]}"}, []string{
		"lapses of safeguard \"cold\" does not say because of what (add because: the physical cause)"}},
	{"a lapse on nothing", []string{"    lapses: {on: [handover], because: someone turns it on}", "    lapses: ‸{because: someone turns it on}"}, []string{
		"lapses of safeguard \"off\" says neither on what nor after how long (add on: [...] or after: 30 min, or take lapses out)"}},
	{"a lapse after a bare number", []string{"{on: [handover], because", "{after: ‸30, because"}, []string{
		"\"30\" is a bare number; a time belongs here (write it as a number and a unit: min, s, h, ms, d)"}},
	{"a safeguard nobody releases", []string{"  cold:\n    title: Cold", "  ‸cold:\n    title: Cold", "releases: [off, cold]", "releases: [off]"}, []string{
		"no step releases safeguard \"cold\" (add a step with releases: [cold], or lasting: true where it stays with the vehicle)"}},
	{"a release outside make safe", []string{"make safe: [close]\n", "", "  - gate: close", "  - ‸gate: close", "releases: [off, cold]", "releases: [‸off, cold]"}, []string{
		"gate \"close\" secures nothing and does not make safe (add secures, name it in make safe, or make it a do)",
		"step \"close\" releases a safeguard and is not in make safe (add close to make safe)"}},
	{"a release of what it secures", []string{"    secures: cold", "    secures: cold\n    releases: [‸‸cold]"}, []string{
		"gate \"cool\" releases what it secures (release it in a step of its own)",
		"step \"cool\" releases a safeguard and is not in make safe (add cool to make safe)"}},
	{"a cause that fells its own need", []string{"needs: [off]\n    causes: [heated]", "needs: [off, cold]\n    causes: [‸heated]"}, []string{
		"step \"warm\" causes \"heated\", which fells \"cold\" that it needs (cause it in another step, or take the need out)"}},
	{"a cause that starts its own need", []string{"needs: [off]\n    causes: [heated]", "needs: [off, watch]\n    causes: [‸heated]"}, []string{
		"step \"warm\" causes \"heated\", which starts \"watch\" that it needs at rest (cause it in another step, or take the need out)"}},
	{"a cause that fells what it secures", []string{"    secures: cold", "    secures: cold\n    causes: [‸heated]"}, []string{
		"gate \"cool\" causes \"heated\", which fells \"cold\" that it secures (cause it in another step)"}},
	{"a target that is nowhere", []string{"then: close}", "then: ‸closed}"}, []string{
		"there is no step \"closed\" to go to (did you mean \"close\"?)"}},
	{"a target that is pinned", []string{"then: close}", "then: ‸watch}"}, []string{
		"\"watch\" is a pinned step; nothing leads to it (it starts by its cause)"}},
	{"then beside a question", []string{"    ask: {question", "    ‸then: close\n    ask: {question"}, []string{
		"step \"work\" has \"then\", but its answers say where it leads (write then beside each answer)"}},
	{"an answer twice", []string{"{say: It is stuck}]", "‸{say: It is free}]"}, []string{
		"ask of step \"work\" has the answer \"It is free\" twice (say what differs)"}},
	{"one answer", []string{"answers: [{say: It is free, then: close}, {say: It is stuck}]}", "answers: ‸[{say: It is free, then: close}]}", "  - do: warm", "  - ‸do: warm"}, []string{
		"ask of step \"work\" leaves no choice (give at least two answers)",
		"step \"warm\" cannot be reached (lead a then or an answer to it, or take it out)"}},
	{"a step nothing leads to", []string{"{say: It is stuck}]", "{say: It is stuck, then: close}]", "  - do: warm", "  - ‸do: warm"}, []string{
		"step \"warm\" cannot be reached (lead a then or an answer to it, or take it out)"}},
	{"no way to complete", []string{"    affirm: [The cover is on]", "    affirm: [The cover is on]\n  - ‸do: tell\n    title: Tell the owner\n    then: referred"}, []string{
		"no path leads to complete (let a step lead to complete, or the last step to its end)"}},
	{"make safe with no such step", []string{"make safe: [close]", "make safe: [close, ‸cose]"}, []string{
		"there is no step \"cose\" to make safe (did you mean \"close\"?)"}},
	{"make safe with a pinned step", []string{"make safe: [close]", "make safe: [close, ‸watch]"}, []string{
		"\"watch\" is a pinned step; it cannot make safe (a running pinned step blocks every close by itself)"}},
	{"make safe twice", []string{"make safe: [close]", "make safe: [close, ‸close]"}, []string{
		"\"close\" stands in make safe of the procedure twice (keep one of the two)"}},
	{"a step that makes safe and is optional", []string{"  - do: warm", "  - do: tidy\n    title: Tidy up\n    ‸optional: true\n  - do: warm", "make safe: [close]", "make safe: [close, tidy]"}, []string{
		"step \"tidy\" is optional and makes safe (take it out)"}},
	{"due after nothing", []string{"    releases: [off, cold]", "    releases: [off, cold]\n    due after: [‸works]"}, []string{
		"there is no step \"works\" (did you mean \"work\"?)"}},
	{"due after itself", []string{"    releases: [off, cold]", "    releases: [off, cold]\n    due after: [‸close]"}, []string{
		"step \"close\" is due after itself (name the steps that make it necessary)"}},
	{"pinned without a cause", []string{"  - pin: watch", "  - ‸pin: watch", "    starts on: [heated]\n", ""}, []string{
		"step \"watch\" has no \"starts on\" (add starts on: ...)"}},
	{"pinned without a time", []string{"  - pin: watch", "  - ‸pin: watch", "    at least: 30 min\n", ""}, []string{
		"step \"watch\" has no \"at least\" (add at least: ...)"}},
	{"pinned on nothing", []string{"    starts on: [heated]", "    starts on: [heated, ‸lit]"}, []string{
		"no step causes \"lit\" (known: heated)"}},
	{"pinned for a torque", []string{"    at least: 30 min", "    at least: ‸low"}, []string{
		"a bound names the sheet field \"low\", which is a torque; a time belongs here (nothing there fits; add it first)"}},
	{"a signal word that is none", []string{"    title: Warm it", "    title: Warm it\n    warning: {word: ‸WARNIN, hazard: Fire, consequence: burns, avoid: keep water ready}"}, []string{
		"word of warning of step \"warm\" is \"WARNIN\" (did you mean \"WARNING\"?)"}},
	{"a warning without its parts", []string{"    title: Warm it", "    title: Warm it\n    warning: ‸{word: WARNING, hazard: Fire, consequence: burns}"}, []string{
		"warning of step \"warm\" has no \"avoid\" (add avoid: ...)"}},
	{"depending on an optional step", []string{"  - do: warm\n    title: Warm it", "  - do: look\n    title: Look\n    optional: true\n    readings: [{id: state, title: State, choose: [dry, wet]}]\n  - do: warm\n    when: {‸state: wet}\n    title: Warm it"}, []string{
		"when depends on \"state\" of the step \"look\", which is optional (take optional from the step, or do not depend on it)"}},
	{"a wait for nothing", []string{"    title: Warm it", "    title: Warm it\n    wait: ‸{for: the oil}"}, []string{
		"wait of step \"warm\" says neither at least nor at most (add at least: ... or at most: ...)"}},
	{"a wait with no advice", []string{"    title: Warm it", "    title: Warm it\n    wait: ‸{for: the oil, at most: 2 min}"}, []string{
		"wait of step \"warm\" has only one of \"at most\" and \"if missed\" (write both or neither)"}},
	{"a card path that is none", []string{"unit: N·m}", "unit: N·m, card: ‸\"sensors..low\"}"}, []string{
		"card of sheet field \"low\" is no path: \"sensors..low\" (write words with points between them, such as sensors.{position}.hex)"}},
	{"a list for what chooses nothing", []string{"unit: N·m}", "unit: N·m, ‸among: sensors.fitted}"}, []string{
		"among narrows a choice, and sheet field \"low\" makes none (take it out, or let the field choose)"}},
	{"a card path through nothing", []string{"unit: N·m}", "unit: N·m, card: ‸\"sensors.{sid}.low\"}"}, []string{
		"card names \"sid\", which is defined nowhere (did you mean \"side\"?)"}},
	{"a card path through a torque", []string{"optional: true}", "optional: true, card: ‸\"a.{low}.b\"}"}, []string{
		"card names the sheet field \"low\", which takes a quantity (name a field that chooses)"}},
	{"a proposal from nothing", []string{"unit: N·m}", "unit: N·m, propose: {output: applied, of: {torque-applied: {reading: ‸lwo, low: 1 N·m, high: 2 N·m, accuracy: 4 %}}}}"}, []string{
		"check \"torque-applied\" input \"reading\" names \"lwo\", which is defined nowhere (nothing there fits; add it first)"}},
	{"a proposal from a later line", []string{"choose: [left, right]}", "choose: [left, right], propose: {output: code, of: {trouble-code: {code: ‸note}}}}"}, []string{
		"check \"trouble-code\" input \"code\" names the sheet field \"note\", which is recorded later, on line 11 (use what is recorded earlier, or move it up)"}},
	{"a proposal from its own line", []string{"choose: [left, right]}", "choose: [left, right], propose: {output: sensor, of: {sensor-position: {words: ‸side}}}}"}, []string{
		"check \"sensor-position\" input \"words\" names the sheet field \"side\", which is recorded later, on line 9 (use what is recorded earlier, or move it up)"}},
	{"a proposal from a reading", []string{"unit: N·m}", "unit: N·m, propose: {output: applied, of: {torque-applied: {reading: ‸tight, low: 1 N·m, high: 2 N·m, accuracy: 4 %}}}}"}, []string{
		"check \"torque-applied\" input \"reading\" names the reading \"tight\", which is recorded later, on line 34 (use what is recorded earlier, or move it up)"}},
	{"a proposal from what a step found", []string{"text: true, optional: true}", "text: true, propose: {output: code, of: {trouble-code: {code: {output: shows, of: sensor-trace, at: ‸work}}}}}"}, []string{
		"check \"trouble-code\" input \"code\" names the step \"work\", which is recorded later, on line 30 (use what is recorded earlier, or move it up)"}},
	{"a proposal by no check", []string{"text: true, optional: true}", "text: true, propose: {output: code, of: {‸trouble-cod: {code: side}}}}"}, []string{
		"there is no check \"trouble-cod\" (did you mean \"trouble-code\"?)"}},
	{"a proposal for what may be left out", []string{"text: true, optional: true}", "text: true, optional: true, ‸propose: {output: code, of: {trouble-code: {code: side}}}}"}, []string{
		"sheet field \"note\" may be left out, so an empty answer could not take what is proposed (take out one of the two)"}},
	{"a proposal by two checks", []string{"text: true, optional: true}", "text: true, propose: {output: code, of: ‸{trouble-code: {code: side}, vin: {vin: side}}}}"}, []string{
		"propose of sheet field \"note\" names 2 checks; one proposes (write {check-name: {input: value}})"}},
	{"a proposal without its check", []string{"text: true, optional: true}", "text: true, propose: ‸{output: code}}"}, []string{
		"propose of sheet field \"note\" has no \"of\" (add of: ...)"}},
	{"a proposal of no output", []string{"text: true, optional: true}", "text: true, propose: {output: ‸cod, of: {trouble-code: {code: side}}}}"}, []string{
		"check \"trouble-code\" gives no \"cod\" (did you mean \"code\"?)"}},
	{"a proposal of several figures", []string{"text: true, optional: true}", "text: true, propose: {output: ‸choice, of: {sensor-position: {words: side}}}}"}, []string{
		"propose of sheet field \"note\" takes \"choice\", which is any number of figures (name an output of one figure)"}},
	{"a proposal that is no choice", []string{"title: Note, text: true, optional: true}", "title: Note, choose: [sound, aged], propose: {output: ‸verdict, of: {fault-verdict: {wiring: sound}}}}"}, []string{
		"propose of sheet field \"note\" takes \"verdict\", which may be \"this sensor\", and that is no choice of the field (known: sound, aged)"}},
	{"a number proposed for a choice", []string{"title: Note, text: true, optional: true}", "title: Note, choose: [one, two], propose: {output: ‸applied, of: {torque-applied: {reading: low, low: 1 N·m, high: 2 N·m, accuracy: 4 %}}}}"}, []string{
		"propose of sheet field \"note\" takes \"applied\", which is of another kind (name an output that the field takes)"}},
	{"words proposed for a torque", []string{"unit: N·m}", "unit: N·m, propose: {output: ‸sensor, of: {sensor-position: {words: side}}}}"}, []string{
		"propose of sheet field \"low\" takes \"sensor\", which is of another kind (name an output that the field takes)"}},
	{"a proposal with a strange field", []string{"text: true, optional: true}", "text: true, propose: {output: code, ‸by: me, of: {trouble-code: {code: side}}}}"}, []string{
		"propose of sheet field \"note\" has no field \"by\" (known: output, of)"}},
	{"a need with two names", []string{"needs: [off]\n    causes", "needs: [{‸pin: watch, safeguard: off, when: {side: left}}]\n    causes"}, []string{
		"a need of step \"warm\" has no field \"pin\" (known: safeguard, when)"}},
	{"a need without when", []string{"needs: [off]\n    causes", "needs: [‸{safeguard: off}]\n    causes"}, []string{
		"a need of step \"warm\" has no \"when\" (add when: ...)"}},
	{"a pinned step named like a safeguard", []string{"pin: watch", "pin: cold", "needs: [off, cold, watch]", "needs: [off, ‸cold]"}, []string{
		"\"cold\" is a safeguard and a pinned step (give one of them another id)"}},
	{"carriage returns", []string{"scope: For tests", "scope: For tests‸\r"}, []string{
		"the lines end with a carriage return and a line feed (save the file with line feeds alone)"}},
	{"a byte order mark", []string{"fenderside: 1", "‸\ufefffenderside: 1"}, []string{
		"the file begins with a byte order mark (save it as UTF-8 without one)"}},
	{"a byte that is not UTF-8", []string{"scope: For tests", "scope: For ‸\xfftests"}, []string{
		"the byte 0xFF is not UTF-8 (take it out, or save the file as UTF-8)"}},
	{"a lone carriage return", []string{"scope: For tests", "scope: For‸\rtests"}, []string{
		"control character U+000D in the text (take it out, or save the file as UTF-8)"}},
	{"an escape code", []string{"scope: For tests", "scope: For‸\x1b[2Jtests"}, []string{
		"control character U+001B in the text (take it out, or save the file as UTF-8)"}},
	{"a question on its own answer's way", []string{"    title: Close it", "    title: Close it\n    when: {‸close: one}", "    affirm: [The cover is on]", "    either: [{way: one, say: By the latch, affirm: [It clicked]}, {way: two, say: By the bolt, affirm: [It turned]}]"}, []string{
		"when names the step \"close\", which is recorded later, on line 42 (use what is recorded earlier, or move it up)"}},
	{"a choice that is an id too", []string{"  - {id: side, title: Side", "  - {id: infrared, title: Side", "quantity: temperature, at most: 48 °C}", "quantity: temperature, at most: 48 °C, series: true}\n    check: {touch-safe: {surface: heat, limit: 48 °C, method: ‸infrared}}"}, []string{
		"\"infrared\" is a choice of the input \"method\" and an id (give the sheet field, reading or step another id)"}},
	{"a series of text", []string{"at least: low}", "at least: low}\n      - {id: words, title: Words, text: true, ‸series: true}"}, []string{
		"reading \"words\" has \"series\", but it takes no quantity (take it out, or add quantity: ...)"}},
	{"a question mark between brackets", []string{"question: How is it,", "question: How is it?,", "    ask: {question", "    ‸ask: {question"}, []string{
		"this is not YAML: did not find expected ',' or '}' (close the bracket, put a comma between its items, and quotes around a text with a comma, a question mark or a bracket in it)"}},
}
