package writing

// The verbs that begin an action. A short list of verbs, each with one meaning, is itself good practice: the fewer verbs a
// procedure has, the fewer are misread.

import (
	"strings"
	"sync"
)

func set(list string) map[string]bool {
	all := map[string]bool{}
	for _, w := range strings.Fields(list) {
		all[w] = true
	}
	return all
}

// manner is what may stand before the verb.
var manner = sync.OnceValue(func() map[string]bool {
	return set(`always first then next now again also still only just both with without`)
})

var verbs = sync.OnceValue(func() map[string]bool {
	return set(`
	accept acknowledge adapt add adjust affirm agree aim align allow alter announce answer apply arrange ask assemble attach
	balance bare bear begin bend bleed block blow bolt brace break bring brush build burn button
	calculate calibrate call carry catch change charge chase check chock choose clamp clean clear clip clock close coat collect
	compare complete compress confirm connect consult contact continue control cool copy count cover crank crimp cut
	decide deflate degrease deliver describe detach determine dip disassemble discard discharge disconnect dismantle dismount
	display dispose divide do drag drain draw dress drill drive drop dry
	earth empty energise energize engage ensure enter erase establish examine exchange exclude exercise expect extend extinguish
	feed feel file fill filter find finish fit fix flatten flip flush fold follow force free
	gauge get give go grease grind grip ground guard guide
	hammer hand handle hang have heat help hold hook
	identify ignite immerse increase inflate inform inject insert inspect install insulate isolate
	jack join
	keep kneel know knock
	label latch lay lead lean leave let level lever lift light limit line listen load locate lock log look loosen lower lubricate
	make mark mask match measure meet mend mix monitor mount move
	name note notify number
	observe obtain offer oil open operate order orient
	pack paint park pass paste peel perform photograph pick pin place plan plug point polish position pour power practise
	prepare press prevent prime probe protect prove pull pump punch purge push put
	raise ratchet reach read ready rebuild receive recharge reconnect record reduce refer refill refit refuse reinstall relax
	release relieve remember remove renew repair repeat replace report request reset resist rest restart restore retain retract
	retrieve return review rinse roll rotate route rub run
	sand save say scan scrape screw seal seat secure see select send separate serve set settle shake sharpen shield shift shut
	shout signal sit sketch skim slacken slide slip smell soak solder sort speak spray spread squeeze stack stamp stand start state
	stay steady step stick stir stop store straighten strap strip suck supply support suspend swap sweep swing switch
	tag take talk tap tape tear tell test thread throw tie tighten tilt time tip torque touch trace train transfer trim
	try tug tune turn twist
	unblock unbolt unclip uncover undo unfold unhook unlatch unload unlock unplug unscrew untie unwind unwrap update use
	vacuum vent ventilate verify view visit
	wait walk warm warn wash watch wear wedge weigh weld wet wind wipe wire withdraw work wrap write
	zero
`)
})
