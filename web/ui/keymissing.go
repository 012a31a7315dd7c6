package ui

// KeyMissing is what staff reads while the site is without its key.
func KeyMissing() NoteText {
	return NoteText{Kind: NoteGrave, Title: "The key of the medical cards is missing",
		Text: "No card can be read and none can be written until the site has its key again. Leaders must ask people " +
			"what their action line would have told. Whoever runs the server finds what to do in its log."}
}
