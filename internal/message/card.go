package message

// CardOpened tells a person that somebody has opened their medical card: who, in which
// part, and when. Why stands on their own page, behind its private link.
func CardOpened(p Place, by, as, when string) (Mail, error) {
	for _, f := range [][2]string{{"by", by}, {"as", as}, {"when", when}} {
		if err := checkLine(f[0], f[1], maxSubject); err != nil {
			return Mail{}, err
		}
	}
	l := p.open()
	l.para("Your medical card for this hike was opened. You wrote it so that people can help you; we tell you each " +
		"time somebody reads it.")
	l.fact("Opened by", by+", "+as)
	l.fact("When", when)
	p.facts(l)
	l.para("The reason that they wrote stands on your page, under the private link of your first mail. If it is not " +
		"right, write to us.")
	l.para(contact(p))
	return p.mail("card opened", "Your medical card was opened: "+p.Hike+", "+p.Day, l)
}
