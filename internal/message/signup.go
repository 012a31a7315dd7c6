package message

import "fmt"

// Asked tells a person that there is a talk first, and until when a place is kept for
// them; it may be empty.
func Asked(p Place, until string) (Mail, error) {
	l := p.open()
	l.para("You asked for a place. Before it is confirmed the leader would like a word with you: it is a talk, not " +
		"an examination.")
	if until != "" {
		l.para("A place is kept for you until " + sentence(until))
	}
	p.facts(l)
	p.manage(l)
	return p.mail("asked", "The leader rings you first: "+p.Hike+", "+p.Day, l)
}

// Offered tells a person who waited that a place is kept for them until a time, as text.
// They have to take it.
func Offered(p Place, until string) (Mail, error) {
	l := p.open()
	l.para("A place has come free, and it is kept for you until " + sentence(until) +
		" Take it or leave it on your page; after that it goes to the next.")
	p.facts(l)
	p.manage(l)
	return p.mail("offered/"+until, "A place is kept for you: "+p.Hike+", "+p.Day, l)
}

// Reachable asks an emergency contact to say that they can be reached. To is the contact's
// address, Name theirs, and Link where they say yes; walker is who named them.
func Reachable(p Place, walker string) (Mail, error) {
	l := p.open()
	l.para(fmt.Sprintf("%s goes on a guided hike and named you as the person whom we ring if something happens. You "+
		"do not walk along, and there is nothing to do but to have your phone with you that day.", walker))
	l.para("Please open this page and say that you can be reached:")
	l.para(p.Link)
	p.facts(l)
	l.para("If you cannot be reached that day, tell " + walker + " now, so that they name somebody else. " + contact(p))
	return p.mail("reachable", "Can we reach you on "+p.Day+"?", l)
}

// TurnedAway tells a person what a talk came to, in the leader's neutral words.
func TurnedAway(p Place, reason string) (Mail, error) {
	l := p.open()
	l.para("You have no place on this hike. " + sentence(reason))
	l.para("Your own page says what it was measured by and which hikes would fit, and you can answer the leader there.")
	p.facts(l)
	p.manage(l)
	return p.mail("turned-away", "About your place: "+p.Hike+", "+p.Day, l)
}
