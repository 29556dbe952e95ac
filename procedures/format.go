// # Format
//
// A procedure is one YAML file of at most 256 KiB: UTF-8, line feeds, one document, no anchors, aliases, merge keys or
// tags, no unknown field and none twice. A text is one line without control, bidirectional or invisible characters. An
// id is lower-case letters and digits with single - or _ between them. Sheet fields, readings, evidence and steps share
// one set of ids. A quantity is written with its unit. testdata/oven-element.yaml is a whole example.
//
//	fenderside: 1                  # format version
//	procedure: oven-element        # id
//	revision: 2
//	title: ...
//	scope: ...                     # what it is for
//	excludes, hazards, protective, tools, parts, duties, sources: [text, ...]   # acknowledged before the first step
//	instruments:
//	  meter: {title: ..., calibration: true}     # its calibration must be recorded and not be overdue
//	sheet:                         # filled before the job opens; one of quantity, choose, text, date says what it takes
//	  - {id: ..., title: ..., quantity: torque, unit: N·m, between: [1 N·m, 3 N·m], card: "sensors.{position}.torque_low"}
//	  - {id: ..., title: ..., choose: [top, bottom], hint: ...}
//	  - {id: ..., title: ..., choose: [B1S1, B2S1], among: sensors.fitted}      # of these, what the card lists there
//	  - {id: ..., title: ..., choose: [B1S1, B2S1], propose: {output: sensor, of: {sensor-position: {words: id}}}}
//	  - {id: ..., title: ..., text: true, optional: true}
//	  - {id: ..., title: ..., date: true}
//	safeguards:
//	  unplugged:
//	    title: ...
//	    lapses: {on: [interruption, handover, mains-restored], after: 30 min, because: the physical cause}
//	    if lost: [what to do first]
//	    lasting: true              # stays with the vehicle: rests on nothing and needs no release
//	dangers:                       # what steps expose to: needs, lapses and causes stated a second time; may be left out whole
//	  shock:
//	    title: ...
//	    kept off by: [safeguard or pinned step]     # what a step that faces it needs; left out where it is only brought on
//	    comes with: [interruption, handover, cause] # brings it back: what keeps it off lapses or starts on these
//	    comes back after: 30 min   # brought back by the clock: what keeps it off lapses after no more
//	outside causes: [cause]        # those that no step here brings about, but one of an including procedure may
//	steps:                         # the main line
//	  - gate: pull-plug            # or do: id
//	    title: ...
//	    how: [text, ...]
//	    why: ...
//	    warning: {word: WARNING, hazard: ..., consequence: ..., avoid: ...}     # or a list of them
//	    when: {choice: value}      # or a list of values; every choice named must hold
//	    shows: [id]                # sheet fields and earlier readings to go by; none that a reading of it is compared with
//	    needs: [safeguard or pinned step, {safeguard: ..., when: {...}}]
//	    faces: [danger, {danger: ..., when: {...}}]
//	    secures: safeguard         # gates only; each safeguard has one gate
//	    releases: [safeguard]
//	    causes: [cause]            # what safeguards lapse on and pinned steps start on
//	    brings: [danger]           # what comes with its causes
//	    due after: [step]          # makes a make-safe step due once one of these was begun
//	    either:                    # ways; one is chosen, and is a choice under the step's id
//	      - {way: id, say: ..., affirm: ..., readings: ..., evidence: ..., check: ...}
//	    affirm: [statement, {say: statement, when: {...}}]
//	    readings:
//	      - {id: ..., title: ..., quantity: voltage, unit: V, at most: 1 V, magnitude: true, instrument: meter,
//	         series: true, apart: 10 s, optional: true, same as: id, when: {...}}
//	    evidence: [{id: ..., title: ..., optional: true, when: {...}}]
//	    check: {touch-safe: {surface: id, limit: 48 °C}}       # inputs: a figure, a choice, words, an id, or what a check found
//	    advise: {touch-safe: {surface: id, limit: 43 °C}}      # shown and recorded like a check, and never holds the step
//	    wait: {at least: 2 min, at most: 10 min, for: what is waited for, if missed: what to do}
//	    ask: {question: ..., answers: [{say: ..., then: step}, {say: ...}]}     # the answer is a choice under the step's id
//	    repeat: {at most: 3, until: ...}
//	    witness: true
//	    optional: true             # do steps only
//	    alone: true                # done only where this procedure is worked on its own; an include leaves it out
//	    makes way: true            # a do step that stands for the work of an including procedure, whose steps take its place
//	    then: step                 # or complete, referred, abandoned; left out, the next step
//	  - include: procedure         # its steps, up to where it makes way
//	    as: name                   # every id of it gets this and a point before it: name.step
//	    with: {its sheet field: an id of this procedure, or a figure}      # those not given join this sheet
//	    using: {its safeguard: a safeguard of this procedure}              # for gates that it does only on its own
//	    causes: {its outside cause: a cause of this procedure}             # those not given keep their names
//	    needs: [safeguard, ...]    # what each of its steps needs beside its own, but for those that make safe
//	    faces: [danger, ...]       # and what each of these faces
//	    ends: {referred: step}     # where an early end of it leads; one left out is an end of the whole
//	  - rest of: name              # the steps of that include behind where it makes way
//	pinned:                        # beside the main line
//	  - {pin: id, title: ..., starts on: [cause], at least: 30 min, remind: 10 min, affirm: ..., readings: ..., evidence: ...}
//	make safe: [step, ...]         # in the order of every close; the name of an include stands for its own
//
// What an included procedure leads to as complete leads to the step behind it. Its
// safeguards, sheet fields, pinned steps and lists join those of the whole, under their new ids; instruments
// and outside causes are things of the world, and keep their names. The whole is then read, proved and worked as one procedure.
//
// Where dangers are named, a step needs what keeps off the dangers it faces, and nothing else; a safeguard lapses, and a pinned step
// starts, on what the dangers come with that it keeps off, and on nothing else; a step brings on every danger that comes with
// its causes, and each of its causes by one danger that comes with no other of them; and a gate that makes safe is due after the
// steps whose causes fell what it secures. What is worked by is both statements together, and the proof tells where they
// differ. A part names its own dangers alone; in the whole each gets the name of the include.
//
// An input of a check that takes words takes them as they stand, unless they have the form of an id: then they name a
// sheet field or a reading, and words of that form are written out as {words: ...}. An input that takes a file names
// evidence of the same step or of an earlier one:
//
//	evidence: [{id: drive, title: Log of the drive}]
//	check: {sensor-trace: {file: drive, time: {words: time}, column: B1S1}}
//
// What a check of an earlier step found is named by its output, its check and its step, and nobody types it again:
//
//	check: {fault-verdict: {trace: {output: shows, of: sensor-trace, at: save-trace}}}
//
// What a sheet field proposes is one output of one check, which takes fields that stand before it on the sheet, or what is written
// out. The field may not be left out, for an empty answer takes what is proposed. It stands beside the field, with what the check says, and fills nothing in: a person takes it or enters another value. What
// the check does not pass, and a value that the field does not take, is not proposed. In an included procedure, what is given
// as a reading feeds no proposal, for it is taken after the sheet is filled.
//
// A bound (at least, at most, between, apart, and those of wait) is a quantity, or the id of a sheet field or of a
// reading recorded earlier. A step has ways or a question, not both.
package procedures
