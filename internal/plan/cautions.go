package plan

// Cautions stand on every page and paper that advises. They are the usual ones of the
// trade; common practice, no source.
func Cautions() []string {
	return []string{
		"This plan is an estimate made from forecasts and past walks. Conditions at the place decide; " +
			"the leader may change or stop the hike at any time.",
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
