package team

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/signup"
	"saltbush/internal/staffing"
	"saltbush/internal/team"
	"saltbush/internal/unit"
	"saltbush/web/kit"
	"saltbush/web/team/view"
	"saltbush/web/ui"
)

// ShowStaffing is the staffing of one hike.
func (s *Handlers) ShowStaffing(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	c, b, err := s.CrewOf(r.Context(), h)
	if err != nil {
		return err
	}
	declines, err := s.Staff.Declines(r.Context(), h.ID)
	if err != nil {
		return err
	}
	role := team.Role(r.URL.Query().Get("role"))
	if role != team.Sweep && role != team.Assistant {
		role = team.Leader
	}
	p := s.staffingPage(r, c, role)
	for _, d := range declines {
		p.Declines = append(p.Declines,
			fmt.Sprintf("%s as %s, %s: %s", d.Name, d.Role, format.Moment(d.At, h.Start.Location()), d.Because))
	}
	for _, x := range staffing.Clashes(b.Duties(), b.Roads.Between) {
		if x.First.Hike == h.ID || x.Then.Hike == h.ID {
			p.Clashes = append(p.Clashes,
				fmt.Sprintf("%s as %s and as %s: %s", x.Then.Name, x.First.Role, x.Then.Role, x.Why))
		}
	}
	today := unit.DateOf(s.Now().In(h.Start.Location()))
	for _, x := range c.Candidates(role, b.People, b.Duties(), b.Roads, today) {
		line := view.CandidateLine{Name: x.Name, Account: x.Account.String(), Fair: fairWords(x), Why: x.WhyNot}
		if x.Free() {
			p.Free = append(p.Free, line)
		} else {
			line.Unknown = !x.OnRecord() && len(x.WhyNot) == 1
			p.Others = append(p.Others, line)
		}
	}
	return s.Render(w, r, http.StatusOK, view.Staffing(p))
}

func fairWords(x staffing.Candidate) string {
	last := "never"
	if !x.Last.IsZero() {
		last = "last on " + x.Last.Words()
	}
	return fmt.Sprintf("%d in 90 days, %s", x.Recent, last)
}

func (s *Handlers) staffingPage(r *http.Request, c staffing.Crew, role team.Role) view.StaffingPage {
	h, zone := c.Hike, c.Hike.Start.Location()
	p := view.StaffingPage{Page: s.Page(r, "Staffing of "+h.Title, "Desk"), URL: paths.Staffing(h.ID),
		HikeURL: paths.Manage(h.ID), Hike: h.Title,
		When: format.Day(h.Start, zone) + ", meet " + format.Clock(h.Meet, zone), State: ui.StampOf(string(h.State)),
		Trail: c.Trail.Name,
		Asks:  asksWords(staffing.AskingOf(h, c.Trail, team.Leader, false)), Blocks: c.Blocks(), Role: string(role),
		Open: h.State == hike.Draft || h.State == hike.Posted}
	if why := c.Provisional(); why != "" && p.Open {
		p.Provisional = format.SentenceCase(why)
	}
	for _, m := range c.Members() {
		p.Staff = append(p.Staff, staffLine(m))
	}
	if h.OnCall.Name != "" {
		p.OnCall = view.StaffLine{Name: h.OnCall.Name, Answer: ui.StampOf(string(h.OnCallAnswer())),
			Asked: h.OnCallAccepted.IsZero()}
		if p.OnCall.Asked && h.OnCall.Email == "" {
			p.OnCall.Why = []string{"No email was sent to them: no address is known. Call them, and say here that " +
				"they said yes."}
		}
	}
	for _, x := range team.Roles() {
		p.Roles = append(p.Roles,
			ui.Tab{Label: string(x), URL: p.URL + "?role=" + string(x) + "#free", Current: x == role})
	}
	fillNumber(&p, c)
	return p
}

func asksWords(a team.Asking) string {
	text := "A " + string(a.Class) + " hike"
	for i, e := range a.Endorsements {
		if i == 0 {
			text += ", whose leader must be endorsed for " + string(e)
		} else {
			text += " and " + string(e)
		}
	}
	return text + "."
}

func staffLine(m staffing.Member) view.StaffLine {
	line := view.StaffLine{Name: m.Name, Part: string(m.Role), Phone: m.Phone, Person: m.Person,
		Answer: ui.StampOf(string(m.Answer)),
		Asked:  !m.Accepted(), Qualified: view.QualifiedStamp(m.Fit.Known, len(m.Alone), len(m.Helped))}
	line.Why = append(line.Why, m.Alone...)
	line.Why = append(line.Why, m.Helped...)
	return line
}

// fillNumber computes the staff that is needed, for the confirmed participants and for all
// places.
func fillNumber(p *view.StaffingPage, c staffing.Crew) {
	taken := 0
	for _, x := range c.Places {
		if x.State == signup.Confirmed {
			taken++
		}
	}
	party := c.Party(taken)
	if party.Minors > 0 && party.Responsible == 0 {
		p.NumberSays = append(p.NumberSays, format.Count(party.Minors, "minor has a place", "minors have places")+
			", and no adult with a place is named as their guardian. One adult answers for three minors at most.")
		party.Minors = 0
	}
	now := party.Number()
	full := party
	full.Participants = max(c.Hike.Places, taken)
	all := full.Number()
	named, accepted := c.Qualified()
	p.Figures = []ui.FigureText{
		{Label: "Qualified staff", Value: strconv.Itoa(named), Note: fmt.Sprintf("of %d on the staff; %d have accepted",
			party.Persons, accepted)},
		{Label: "Needed", Value: strconv.Itoa(now.Needed), Note: fmt.Sprintf("for %s; %d for all %d places",
			format.Count(taken, "person with a place", "people with places"), all.Needed, full.Participants)},
		{Label: "Most participants", Value: strconv.Itoa(now.Most), Note: "with the qualified staff there is"},
	}
	p.NumberSays = append(p.NumberSays,
		fmt.Sprintf("One of staff to %d participants, and never fewer than two. Only those qualified for their part "+
			"count.", party.Ratio))
	if party.Cap > 0 {
		p.NumberSays = append(p.NumberSays,
			fmt.Sprintf("The permit allows %d with the staff: %d participants and %d of staff would be %d.",
				party.Cap, taken, now.Needed, now.Total))
	}
	for _, words := range []string{now.Permit.Words(party), shortWords(now, party)} {
		if words != "" {
			p.NumberSays = append(p.NumberSays, words)
		}
	}
}

func shortWords(n staffing.StaffNumber, p staffing.Party) string {
	if n.Short == 0 || n.Staffed.People == n.Permit.People {
		return ""
	}
	return fmt.Sprintf("%s missing. Without more: %s",
		format.Count(n.Short, "qualified person is", "qualified people are"), n.Staffed.Words(p))
}

// accountIn loads the active account in the form.
func (s *Handlers) accountIn(r *http.Request, f kit.Form) (account.Account, error) {
	id, _ := strconv.ParseInt(f.Text("account"), 10, 64)
	a, err := s.Accounts.AccountByID(r.Context(), account.ID(id))
	if err == nil && !a.Active {
		err = account.ErrNotFound
	}
	return a, err
}

// AskStaff asks a person to staff the hike.
func (s *Handlers) AskStaff(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	f := kit.NewForm(r)
	a, err := s.accountIn(r, f)
	if err != nil {
		return err
	}
	asked := team.Staff{Person: uuid.NewString(), Account: a.ID, Name: a.Name, Phone: a.Phone,
		Role: team.Role(f.Text("role"))}
	if err := s.Hikes.ChangeHike(r.Context(), h.ID, func(h *hike.Hike) error { return h.Ask(asked) }); err != nil {
		return err
	}
	s.notify.AskStaff(r.Context(), kit.NameOf(r), h, h.ID)
	return s.SeeOther(w, r, paths.Staffing(h.ID)+"?role="+string(asked.Role),
		a.Name+" is asked, by mail with a link to answer. Until they say yes nobody counts on them.")
}

// AcceptByPhone records that a person accepted by phone.
func (s *Handlers) AcceptByPhone(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	person := kit.NewForm(r).Text("person")
	var err error
	if person == "" {
		err = s.Hikes.ChangeHike(r.Context(), h.ID, func(h *hike.Hike) error { return h.AcceptOnCall(s.Now()) })
	} else {
		err = s.Staff.AcceptStaff(r.Context(), h.ID, person, s.Now())
	}
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Staffing(h.ID), "Their yes is written down.")
}

// TakeOff removes a person from the staff.
func (s *Handlers) TakeOff(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	person := kit.NewForm(r).Text("person")
	if err := s.Hikes.ChangeHike(r.Context(), h.ID, func(h *hike.Hike) error { return h.TakeOff(person) }); err != nil {
		return err
	}
	a, _ := kit.ViewerOf(r).Account()
	me, staffs := hike.MemberOf(h, a.ID)
	if staffs && me.Person == person && !kit.ViewerOf(r).Has(account.Coordinator) {
		return s.SeeOther(w, r, "/desk", "You are off this hike.")
	}
	return s.SeeOther(w, r, paths.Staffing(h.ID), "Taken off. Tell them yourself.")
}
