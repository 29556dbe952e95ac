package prove

// What is stated twice is stated alike. The reader finds where it is not; a proof holds a procedure to it, because an entry
// that only one of the two has may be gone with the next change.

import "fmt"

func (x *prover) agree() {
	for _, d := range x.p.Apart {
		x.fail(Counterexample{Step: d.Step, Place: d.Place, Missing: d.Missing, What: d.What, Hint: d.Hint})
	}
	if x.about = "no dangers are named: needs, lapses and causes stand once"; len(x.p.Dangers) == 0 {
		return
	}
	faced, brought := 0, 0
	for i := range x.steps {
		faced, brought = faced+len(x.steps[i].Faces), brought+len(x.steps[i].Brings)
	}
	x.about = fmt.Sprintf("%d dangers, faced %d times and brought on %d times", len(x.p.Dangers), faced, brought)
}
