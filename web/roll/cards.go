package roll

import (
	"saltbush/internal/paths"
	"saltbush/internal/signup"
	"saltbush/web/kit"
	"saltbush/web/roll/view"
)

// cardFlag is the note beside the name of somebody who has a medical card.
func cardFlag(actions kit.Actions, p signup.SignUp) view.RollFlag {
	line, known := actions.Lines[p.ID]
	f := view.RollFlag{Text: "Has a medical card."}
	switch {
	case !actions.Reads:
		f.Text = "Has a medical card. What to do is shown to leader and sweep on the day, from the evening before."
	case !known || line.Unread != nil:
		f.Text = "Has a medical card that cannot be read: its key is missing here. Ask what to do."
	case line.Text != "":
		f.Text = line.Text
	}
	if actions.Opens {
		f.URL, f.Link = paths.Hike(p.Hike)+"/cards/"+p.ID, "Open the card"
	}
	return f
}
