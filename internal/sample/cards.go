package sample

import (
	"context"
	"time"

	"saltbush/internal/card"
)

// cardsKept is how long medical cards stay after a hike, as the default rules say.
const cardsKept = 14 * 24 * time.Hour

// cards are the whole cards of the demo; everybody else has an action line at most.
func cards() []card.Card {
	return []card.Card{
		{Action: "If confused, pale or sweaty: glucose from my top pocket first, then call. I cannot always tell myself.",
			Details: card.Details{Born: "1961-04-30", Conditions: "Diabetes, insulin since 2004. Well set for two years.",
				Allergies: "None known.", Carried: "Glucose gel in the top pocket of the red pack; meter and spare insulin in the lid, cool pouch. Any first aider can give the gel.",
				Medicines: "Insulin before meals, less on walking days. It must not lie in the sun.", HeatHistory: "Cramps once, in 2019, after four hours at noon.",
				Communication: "None. I get short with people when I am low: that is the sign.", Doctor: "Dry Creek family practice, 480-555-0199"}},
		{Action: "Bee sting: help me use the injector in my left leg pocket at once, lay me down, call. Do not wait for breath to go.",
			Details: card.Details{Born: "1987-11-12", Conditions: "Bee and wasp venom.", Allergies: "Bee and wasp: throat swells within ten minutes, in hospital twice. Food: none.",
				Carried: "Two injectors in the left leg pocket, orange case. The sweep has been shown how.", Medicines: "An antihistamine in the same case."}},
	}
}

// addCards writes the whole cards, for the first two who walk on the hike that is out now.
func (l *loader) addCards(ctx context.Context, outings []outing) error {
	if l.Cards == nil || len(outings) == 0 {
		return nil
	}
	now := &outings[0]
	for i, c := range cards() {
		p := now.places[i]
		if err := l.Cards.SaveCard(ctx, card.Of{Hike: now.hike.ID, Person: p.ID}, c, p.Asked); err != nil {
			return err
		}
	}
	return nil
}
