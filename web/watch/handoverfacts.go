package watch

import (
	"fmt"
	"saltbush/internal/card"
	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/privacy"
	"saltbush/internal/team"
	"saltbush/internal/text"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/watch"
	"strings"
)

// facts collects what the hike, the trail and the log know.
func (x watchData) facts(u format.System, phase watch.Phase) watch.Facts {
	t := x.Data.Trail
	f := watch.Facts{
		Trail: t.Name, Access: t.Meeting, Plan: x.planWords(u), Weather: x.weatherWords(u), Done: x.doneSoFar(),
		Family:   x.families(),
		CallBack: x.callBack(), What: x.happened(phase), Cars: x.carWords(),
	}
	if t.Manager != "" {
		f.Access = strings.TrimSpace(f.Access + " Land manager: " + t.Manager + ".")
	}
	along, sure := x.lastAlong()
	if len(t.Profile.Samples) > 0 {
		at := t.Profile.SampleAt(along).At
		f.Where, f.Sure = &at, sure
		f.Agreed = x.agreedAt()
	}
	f.Nearest = nearest(t, along, u)
	return f
}

// lastAlong returns how far along the track the missing people were last confirmed, and how
// sure that is.
func (x watchData) lastAlong() (unit.Length, string) {
	var last party.Sighting
	for _, p := range watch.Sought(x.State) {
		if known := x.State.LastKnown(p); known.At.After(last.At) {
			last = known
		}
	}
	along := alongOf(x.Data.Trail, last.Along, last.Place)
	if last.At.IsZero() || along == 0 && last.Place != "trailhead" {
		return 0, "this is the trailhead; where they are is not known"
	}
	return along, "where they were last seen or counted at " + format.Clock(last.At, x.Zone()) +
		"; they have moved since"
}

// agreedAt is the place of the last count that agreed, nil if it is not on the track.
func (x watchData) agreedAt() *unit.Position {
	c, ok := x.State.LastAgreed()
	if !ok {
		return nil
	}
	along := alongOf(x.Data.Trail, c.Along, c.Place)
	if along == 0 && c.Place != "trailhead" {
		return nil
	}
	at := x.Data.Trail.Profile.SampleAt(along).At
	return &at
}

// Our judgment: a count is taken within sight of its point.
const atThePoint = 100 * unit.Metre

func nearest(t trail.Trail, along unit.Length, u format.System) string {
	best, off := "", unit.Length(0)
	for _, p := range t.Points {
		if d := max(p.Along-along, along-p.Along); best == "" || d < off {
			best, off = fmt.Sprintf("%s (%s)", p.Name, p.Kind), d
		}
	}
	if best == "" {
		return ""
	}
	if off < atThePoint {
		return best + ", there"
	}
	return best + ", " + format.Length(off, u) + " away along the trail"
}

func (x watchData) planWords(u format.System) string {
	p := x.Data.Trail.Profile
	words := fmt.Sprintf("%s, %s, %s of climb, start %s", p.Shape, format.Length(p.Length, u),
		format.Height(p.Ascent, u), format.Clock(x.Case.Clocks().Start, x.Zone()))
	if at := x.Hike.Turn; at.Made() {
		words += ", turns at " + at.Where()
	}
	if x.Promised {
		words += ", back " + format.ClockRange(x.Times.Expected, x.Times.Latest, x.Zone())
	}
	return words
}

// lightWords describes the light now. Before dawn it is dark already.
func (x watchData) lightWords() string {
	if x.Plan != nil && x.at.Before(x.Plan.Sun.CivilDawn.Time) {
		return "dark now, light from " + format.Clock(x.Plan.Sun.CivilDawn.Time, x.Zone())
	}
	if x.at.After(x.Promise.Dusk) {
		return "dark since " + format.Clock(x.Promise.Dusk, x.Zone())
	}
	return "dark from " + format.Clock(x.Promise.Dusk, x.Zone())
}

func (x watchData) weatherWords(u format.System) string {
	var parts []string
	if f := x.Hike.Forecast; f != nil {
		parts = append(parts, fmt.Sprintf("forecast %s to %s, wind %s",
			format.Temperature(f.Low, u), format.Temperature(f.High, u), format.Speed(f.Wind, u)))
	}
	if !x.Promise.Dusk.IsZero() {
		parts = append(parts, x.lightWords())
	}
	if !x.Promise.WaterBy.IsZero() {
		parts = append(parts, "planned water ends "+format.Clock(x.Promise.WaterBy, x.Zone()))
	}
	return strings.Join(parts, "; ")
}

// carWords lists the cars that have not left, with who came in them.
func (x watchData) carWords() string {
	if !x.visibility.CanSee(privacy.KindPlate) {
		return ""
	}
	var parts []string
	for _, c := range x.State.OpenCars() {
		text := c.Plate
		if len(c.Owners) > 0 && x.visibility.CanSee(privacy.KindName) {
			text += " (" + format.Join(c.Owners, ", ") + ")"
		}
		parts = append(parts, x.parked.Where(c.Plate, text))
	}
	return strings.Join(append(parts, x.parked.Staff...), "; ")
}

func (x watchData) callBack() []string {
	var list []string
	for _, l := range x.Takers(x.at) {
		if phone := x.phoneOf(l.By); phone != "" {
			list = append(list, l.By+" (has it), "+phone)
		} else {
			list = append(list, l.By+" (has it): say your number")
		}
	}
	for _, c := range []struct{ who, name, phone string }{
		{"on call", x.Hike.OnCall.Name, x.Hike.OnCall.Phone},
		{"deputy", x.Hike.Deputy.Name, x.Hike.Deputy.Phone},
	} {
		if c.phone != "" && !x.Took(c.name, x.at) {
			list = append(list, c.name+" ("+c.who+"), "+c.phone)
		}
	}
	for _, m := range x.Hike.Staff {
		if m.Phone != "" {
			list = append(list, m.Name+" ("+string(m.Role)+", on the trail), "+m.Phone)
		}
	}
	return list
}

// phoneOf returns the phone number of somebody who took the alarm, from the hike.
func (x watchData) phoneOf(name string) string {
	for _, c := range []team.Contact{x.Hike.OnCall, x.Hike.Deputy} {
		if text.Same(c.Name, name) {
			return c.Phone
		}
	}
	for _, m := range x.Hike.Staff {
		if text.Same(m.Name, name) {
			return m.Phone
		}
	}
	return ""
}

func (x watchData) happened(phase watch.Phase) string {
	if !phase.Alarm() || !x.Promised {
		return ""
	}
	if r, current := x.Current(x.at); current && r.Alarm != "" {
		return "" // it is about them, not about the party's return
	}
	words := "Promised back by " + format.Clock(x.Times.Latest, x.Zone())
	if x.Times.WatchBecause != "" {
		words += "; " + x.Times.WatchBecause + " comes before that"
	}
	if x.State.LastHeard.IsZero() {
		return words + "; nothing was heard since the plan was made."
	}
	return words + "; last heard " + format.Clock(x.State.LastHeard, x.Zone()) + "."
}

// doneSoFar sums up the log in order of time.
func (x watchData) doneSoFar() string {
	var parts []string
	for _, e := range x.Log {
		at := format.Clock(e.At, x.Zone()) + " "
		if e.Kind == watch.LogStep || e.Kind == watch.LogOpened {
			continue
		}
		what, who, note := personWords(e)
		parts = append(parts, at+who+": "+strings.TrimSuffix(what+"; "+note, "; "))
	}
	return strings.Join(parts, "; ")
}

// Our judgment: more contacts than this are left to the watch page.
const maxContacts = 4

func (x watchData) families() string {
	if !x.visibility.CanSee(privacy.KindContact) {
		return ""
	}
	var parts []string
	for _, p := range watch.Sought(x.State) {
		if j, ok := x.joined(p.ID); ok && j.Contact != "" {
			parts = append(parts, p.Name+": "+j.Contact)
		}
		for _, s := range x.SignUps {
			if s.ID == string(p.ID) {
				parts = append(parts, p.Name+": "+s.EmergencyName+" "+s.EmergencyPhone)
			}
		}
	}
	for _, m := range x.Hike.Staff {
		if f, named := x.staffFamilies[m.Account]; named {
			parts = append(parts, m.Name+" ("+string(m.Role)+"): "+f.Words())
		}
	}
	if len(parts) > maxContacts {
		return fmt.Sprintf("not noted here. Contacts of %d people stand on the watch page.", len(parts))
	}
	if len(parts) == 0 {
		return ""
	}
	return "not noted here. Contacts: " + strings.Join(parts, "; ")
}

// details is what people said when they signed up, as far as the viewer may see it.
func (x watchData) details(actions map[string]card.Line) map[party.PersonID]watch.Detail {
	all := map[party.PersonID]watch.Detail{}
	for _, s := range x.SignUps {
		d := watch.Detail{}
		if x.visibility.CanSee(privacy.KindName) {
			d.Carries = "said " + format.Volume(s.Water, format.Metric) + " of water"
			if s.Mobile != "" && x.visibility.CanSee(privacy.KindContact) {
				d.Carries += "; phone " + s.Mobile
			}
		}
		if x.visibility.CanSee(privacy.KindScreening) {
			d.Experience = "longest walk lately: " + s.LongestWalk
		}
		if s.Minor && x.visibility.CanSee(privacy.KindName) {
			d.Looks = "under 18"
		}
		if s.Minor && x.visibility.CanSee(privacy.KindContact) {
			d.Looks = "under 18, guardian " + s.Guardian + " " + s.GuardianPhone
		}
		if s.Carded && x.visibility.CanSee(privacy.KindAction) {
			d.Health = healthWords(actions[s.ID])
		}
		all[party.PersonID(s.ID)] = d
	}
	return all
}

// healthWords is an action line for reading out, or that there is a medical card.
func healthWords(l card.Line) string {
	switch {
	case l.Unread != nil:
		return "has a medical card that cannot be read here: its key is missing"
	case l.Text == "":
		return "has a medical card; on-call can open it"
	}
	return "asked of us: " + l.Text
}
