package kit

import (
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/web/ui"
)

// ChangedNote says what the last decision that changed the walk made different, by the figures
// that hold now. It has no title where there was none.
func ChangedNote(t hike.Data, title string, u format.System) ui.NoteText {
	c := t.Hike.Changed
	if !c.Made() || t.Hike.State == hike.CalledOff {
		return ui.NoteText{}
	}
	n := ui.NoteText{Kind: ui.NoteCaution, Title: title, Text: c.Words}
	is := hike.FactsOf(t)
	for _, x := range hike.Changes(c.Was, is, t.Zone(), hike.InUnits(u)) {
		n.Points = append(n.Points, x.Says())
	}
	if !is.Planned() {
		n.Points = append(n.Points, "The return and the water are not known: no forecast has been typed for this day.")
	}
	return n
}

// ChangedWhy is ChangedNote with the reason, for those who have a part in the hike.
func ChangedWhy(t hike.Data, title string, u format.System) ui.NoteText {
	n := ChangedNote(t, title, u)
	if why := t.Hike.Changed.Reason; n.Title != "" && why != "" {
		n.Text += " Why: " + why
	}
	return n
}
