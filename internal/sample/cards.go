package sample

import (
	"context"
	"slices"
	"time"

	"saltbush/internal/card"
)

// cardsKept is how long medical cards are kept after a hike, as in the default rules.
const cardsKept = 14 * 24 * time.Hour

// cards returns the two full cards of the demo. Everybody else has an action line at most.
func cards() []card.Card {
	return []card.Card{
		{Action: "If confused, pale or sweaty: glucose from my top pocket first, then call. I cannot always tell " +
			"myself.",
			Details: card.Details{Born: "1961-04-30",
				Conditions: "Diabetes, insulin since 2004. Well set for two years.",
				Allergies:  "None known.",
				Carried: "Glucose gel in the top pocket of the red pack; meter and spare insulin in the lid, " +
					"cool pouch. Any first aider can give the gel.",
				Medicines:     "Insulin before meals, less on walking days. It must not lie in the sun.",
				HeatHistory:   "Cramps once, in 2019, after four hours at noon.",
				Communication: "None. I get short with people when I am low: that is the sign.",
				Doctor:        "Dry Creek family practice, 480-555-0199"}},
		{Action: "Bee sting: help me use the injector in my left leg pocket at once, lay me down, call. Do not wait " +
			"for breath to go.",
			Details: card.Details{Born: "1987-11-12", Conditions: "Bee and wasp venom.",
				Allergies: "Bee and wasp: throat swells within ten minutes, in hospital twice. Food: none.",
				Carried:   "Two injectors in the left leg pocket, orange case. The sweep has been shown how.",
				Medicines: "An antihistamine in the same case."}},
	}
}

// addCards stores the full cards, for the first two participants of a hike that is out now.
func (l *loader) addCards(ctx context.Context, outings []outing) error {
	i := slices.IndexFunc(outings, func(o outing) bool { return o.isOut(l.now) })
	if l.Cards == nil || i < 0 {
		return nil
	}
	out := outings[i]
	for i, c := range cards() {
		p := out.places[i]
		if err := l.Cards.SaveCard(ctx, card.Of{Hike: out.hike.ID, Person: p.ID}, c, p.Asked); err != nil {
			return err
		}
	}
	return nil
}
