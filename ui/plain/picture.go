package plain

// The rule kept here: a picture is said in the very sentences that stand below it on the screens.

import "fenderside/ui/picture"

// picture says the picture of the step in words.
func (d *desk) picture() {
	st := d.here()
	if st == nil {
		d.say("No step is open.")
		return
	}
	s, ok := picture.OfStep(d.s.State(), st.ID, d.s.Moment())
	if !ok {
		d.say("This step has no picture, or not yet: it is drawn from what its checks are given.")
		return
	}
	p, _ := picture.OfCheck(s, picture.Form{})
	for _, sentence := range p.Words {
		d.say("%s", sentence)
	}
}
