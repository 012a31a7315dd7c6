// Package caution holds the sentences of warning that go with every plan, page, paper and mail
// that advises. They are the usual ones of the trade; common practice, no source.
package caution

// conditionsDecide opens both lists, the full one and the short one.
const conditionsDecide = "This plan is an estimate made from forecasts and past walks. " +
	"Conditions at the place decide; the leader may change or stop the hike at any time."

// ForPlan returns the cautions that are stored with each computed plan.
func ForPlan() []string {
	return []string{
		conditionsDecide,
		"Local law, closures, fire and heat restrictions, permits and instructions of the land manager and " +
			"emergency services come before anything here.",
		"This is not medical advice. Ask a licensed clinician about heat, exercise and medicines. " +
			"In an emergency call the local emergency number first; say where you are first.",
		"Water and heat figures are for planning ordinary adults; people differ. " +
			"Drinking too much plain water is dangerous too.",
		"Text to and from the trail may not arrive. No message does not mean safe or unsafe: follow the written times.",
		"The software watches clocks, not people. " +
			"A named person must be on call, and must be the one to call for help.",
	}
}

// All returns the full list, for every page, paper and mail that advises.
func All() []string {
	return append(ForPlan(),
		"First aid steps are reminders for people trained to use them; act within your training and consent.",
		"Volunteer, employment, insurance, minor-protection and privacy duties differ by place: "+
			"have a qualified person check this organisation's settings.",
	)
}

// Short returns the few sentences for the foot of every page.
func Short() []string {
	return []string{
		conditionsDecide,
		"Closures, permits and the instructions of the land manager and the emergency " +
			"services come before anything here.",
		"This is not medical advice. Water and heat figures are for planning ordinary adults; people differ.",
	}
}
