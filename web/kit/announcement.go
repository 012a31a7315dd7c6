package kit

import (
	"fmt"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/web/ui"
)

// AnnouncementCalls lists the people to telephone, as far as the viewer may see them. Numbers of
// the staff are shown to all staff.
func AnnouncementCalls(unread []hike.Recipient, visible privacy.Visibility, zone *time.Location) []ui.AnnouncementCall {
	var calls []ui.AnnouncementCall
	for _, p := range unread {
		staff := p.Account != 0
		if !staff && !visible.CanSee(privacy.KindName) {
			continue
		}
		call := ui.AnnouncementCall{Name: p.Name, Part: string(p.Role), Reminder: "no time for a reminder: call now"}
		if staff || visible.CanPhone() {
			call.Phone = p.Mobile
		}
		if !p.Remind.IsZero() {
			call.Reminder = "reminder by mail " + format.Moment(p.Remind, zone)
		}
		calls = append(calls, call)
	}
	return calls
}

// TrailheadWords says who stands at the trailhead, where and when.
func TrailheadWords(last hike.AnnouncementStatus, h hike.Hike) string {
	who, end := format.OrElse(last.Stands, "Somebody"), ""
	if last.Stands == "" {
		end = " Nobody is named for it yet."
	}
	where := "the trailhead"
	if last.Before.Trail != "" {
		where += " of " + last.Before.Trail
	}
	return fmt.Sprintf("%s stands at %s at %s, or hangs up a sign, "+
		"unless all who have not read it have been reached.%s",
		who, where, format.Clock(last.StandsAt(h), h.Start.Location()), end)
}
