package hike

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/text"
	"saltbush/internal/track"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
)

// Answer is where an asking stands. Asked is not accepted. Who declines leaves the staff;
// the decline is kept apart.
type Answer string

// The answers of somebody on the staff.
const (
	AnswerAsked    Answer = "asked"
	AnswerAccepted Answer = "accepted"
)

// Decline is a part that somebody did not take. On-call has no account.
type Decline struct {
	Hike    HikeID
	Account int64
	Name    string
	Role    Role
	Because string
	At      time.Time
}

// Accepted reports whether the person has said yes.
func (s Staff) Accepted() bool { return s.Answer == AnswerAccepted }

// Accept records that somebody on the staff has said yes. Saying it twice is no fault.
func (h *Hike) Accept(person string, now time.Time) error {
	if err := h.answerable(); err != nil {
		return err
	}
	for i := range h.Staff {
		if s := &h.Staff[i]; s.Person == person {
			if !s.Accepted() {
				s.Answer, s.Answered = AnswerAccepted, now
			}
			return nil
		}
	}
	return Refusal("You are no longer asked for this hike. Talk with its leader or a coordinator.")
}

// Decline takes somebody off the staff, with what they said.
func (h *Hike) Decline(person, because string, now time.Time) (Decline, error) {
	if err := h.answerable(); err != nil {
		return Decline{}, err
	}
	v := Invalid{}
	v.require("because", because, 500, "Say why in a few words, so that whoever looks for somebody else knows.")
	if err := v.Err(); err != nil {
		return Decline{}, err
	}
	for i, s := range h.Staff {
		if s.Person == person {
			h.Staff = slices.Delete(slices.Clone(h.Staff), i, i+1)
			return Decline{Hike: h.ID, Account: s.Account, Name: s.Name, Role: s.Role, Because: because, At: now}, nil
		}
	}
	return Decline{}, Refusal("You are no longer asked for this hike. Talk with its leader or a coordinator.")
}

// DeclineOnCall leaves on-call open again, with what the person said.
func (h *Hike) DeclineOnCall(because string, now time.Time) (Decline, error) {
	if err := h.answerable(); err != nil {
		return Decline{}, err
	}
	if h.OnCall == (Contact{}) {
		return Decline{}, Refusal("You are no longer asked for this hike. Talk with its leader or a coordinator.")
	}
	v := Invalid{}
	v.require("because", because, 500, "Say why in a few words, so that whoever looks for somebody else knows.")
	if err := v.Err(); err != nil {
		return Decline{}, err
	}
	d := Decline{Hike: h.ID, Name: h.OnCall.Name, Role: OnCallPart, Because: because, At: now}
	h.OnCall, h.OnCallAccepted = Contact{}, time.Time{}
	return d, nil
}

// Says is a decline in a line for those who look for somebody else.
func (d Decline) Says() string { return d.Name + " cannot be " + string(d.Role) + ": " + d.Because }

// OpenAfter lists the declines of parts that nobody has taken since.
func (h Hike) OpenAfter(declines []Decline) []Decline {
	var list []Decline
	for _, d := range declines {
		_, taken := h.StaffOf(d.Role)
		if d.Role == OnCallPart {
			taken = h.OnCall != (Contact{})
		}
		if !taken {
			list = append(list, d)
		}
	}
	return list
}

func (h Hike) answerable() error {
	if h.State != Draft && h.State != Posted {
		return Refusal(fmt.Sprintf("This hike is %s; its staff stands.", h.State))
	}
	return nil
}

// AcceptFor marks the account's own part as accepted: whoever puts themselves on a hike
// need not be asked.
func AcceptFor(staff []Staff, account int64, now time.Time) {
	for i := range staff {
		if staff[i].Account == account && !staff[i].Accepted() {
			staff[i].Answer, staff[i].Answered = AnswerAccepted, now
		}
	}
}

// KeepAnswers gives the staff of a changed hike the answers that still hold. Another time,
// trail or part is another question, so it is asked anew.
func KeepAnswers(before, after Hike) []Staff {
	moved := !before.Meet.Equal(after.Meet) || !before.Start.Equal(after.Start) || before.Trail != after.Trail
	out := slices.Clone(after.Staff)
	for i := range out {
		out[i].Answer, out[i].Answered = AnswerAsked, time.Time{}
		for _, b := range before.Staff {
			if b.Account == out[i].Account && b.Role == out[i].Role && !moved {
				out[i].Answer, out[i].Answered = b.Answer, b.Answered
			}
		}
	}
	return out
}

// AskingOf is what the hike asks of a role. Rough ground is asked for by what is
// underfoot, heat by the forecast; both are house judgements: at 95 F and above only short
// hikes with extra staff are left of the house's heat ladder.
func AskingOf(h Hike, t Trail, role Role, minors bool) Asking {
	p := t.Profile
	a := Asking{Day: DateOf(h.Start), Role: role, Minors: minors, Class: track.Rate(p.Length, p.Ascent, p.Steepest).Class}
	if t.Surface == walk.Rocky || t.Surface == walk.LooseSand {
		a.Endorsements = append(a.Endorsements, RoughGround)
	}
	if h.Forecast != nil && h.Forecast.High >= unit.Fahrenheit(95) {
		a.Endorsements = append(a.Endorsements, Heat)
	}
	return a
}

// Crew is a hike with what is known of the people on its staff.
type Crew struct {
	Hike   Hike
	Trail  Trail
	Plan   *plan.Plan
	Kinds  []CertificateKind
	People map[int64]Qualification
	Places []SignUp
}

// Member is one of the staff with how their record meets the hike.
type Member struct {
	Staff
	Fit Fit
	// Alone is why they cannot take the part, also with the others' help; empty where they
	// can. An assistant is never in the way of a hike.
	Alone []string
	// Helped says who makes up for what they lack.
	Helped []string
}

// Members holds the record of everybody on the staff against the hike.
func (c Crew) Members() []Member {
	list := make([]Member, len(c.Hike.Staff))
	for i, s := range c.Hike.Staff {
		m := Member{Staff: s, Fit: c.fit(s, s.Role)}
		if m.Fit.Known {
			m.Alone = slices.Clone(m.Fit.Against)
			for n, kind := range m.Fit.Shared {
				if helper, ok := c.helper(s, kind); ok {
					m.Helped = append(m.Helped, fmt.Sprintf("%s, but %s makes up for it", m.Fit.Words[n], helper))
				} else {
					m.Alone = append(m.Alone, m.Fit.Words[n])
				}
			}
		}
		list[i] = m
	}
	return list
}

func (c Crew) fit(s Staff, role Role) Fit {
	return c.People[s.Account].Fit(AskingOf(c.Hike, c.Trail, role, c.minors() > 0), c.Kinds)
}

// helper finds another on the staff who may lead and holds what somebody lacks.
func (c Crew) helper(who Staff, kind string) (name string, ok bool) {
	day := DateOf(c.Hike.Start)
	for _, s := range c.Hike.Staff {
		q := c.People[s.Account]
		if s.Account == who.Account || !q.MayLead(day) {
			continue
		}
		if on, _ := q.On(day); kind == ShareLead && on.Status == StatusActive || q.Holds(kind, day) {
			return s.Name, true
		}
	}
	return "", false
}

// Blocks are the reasons for which the hike may not be posted or go: a leader or sweep
// whose record says that they may not. What is not on record blocks nothing, and is said.
func (c Crew) Blocks() []string {
	var list []string
	for _, m := range c.Members() {
		if m.Role != Assistant && len(m.Alone) > 0 {
			list = append(list, sentenceOf(m.Name, m.Alone))
		}
	}
	return list
}

// MayPost returns a Refusal while the staff does not allow the hike to be made public: its
// leader must have accepted, and nobody who leads or sweeps may be unfit on the day.
func (c Crew) MayPost() error {
	if s, named := c.Hike.StaffOf(Leader); named && !s.Accepted() {
		return Refusal(s.Name + " has been asked to lead and has not accepted yet. Asked is not accepted.")
	}
	if b := c.Blocks(); len(b) > 0 {
		return Refusal(strings.Join(b, " ") + " Name somebody else; the hike can stay.")
	}
	return nil
}

// MayGo returns a Refusal while the staff does not allow the hike to go: leader and sweep
// must have accepted as well.
func (c Crew) MayGo() error {
	for _, role := range []Role{Leader, Sweep} {
		s, named := c.Hike.StaffOf(role)
		if !named {
			return Refusal(fmt.Sprintf("Nobody is named as %s. Never fewer than two of staff, and the tail is always named.", role))
		}
		if !s.Accepted() {
			return Refusal(fmt.Sprintf("%s has been asked as %s and has not accepted yet. Asked is not accepted.", s.Name, role))
		}
	}
	return c.MayPost()
}

// Provisional says why the hike is provisional, empty where it is not: there must be a
// second person who has accepted and could lead it if the leader falls ill.
func (c Crew) Provisional() string {
	able := 0
	for _, s := range c.Hike.Staff {
		if f := c.fit(s, Leader); s.Accepted() && f.Qualified() {
			able++
		}
	}
	switch able {
	case 0:
		return "nobody who has accepted is on record as able to lead it"
	case 1:
		return "there is no second qualified person if the leader falls ill"
	}
	return ""
}

// Qualified counts the staff who are qualified for their part, and how many of those have
// accepted.
func (c Crew) Qualified() (named, accepted int) {
	for _, m := range c.Members() {
		if m.Fit.Known && len(m.Alone) == 0 {
			named++
			if m.Accepted() {
				accepted++
			}
		}
	}
	return named, accepted
}

func (c Crew) minors() (n int) {
	for _, p := range c.Places {
		if p.State == Confirmed && p.Minor {
			n++
		}
	}
	return n
}

// responsible counts the adults with a place who are the guardian of a minor with a place.
func (c Crew) responsible() int {
	guardians := map[string]bool{}
	for _, p := range c.Places {
		if p.State == Confirmed && p.Minor {
			guardians[text.Fold(p.Guardian)] = true
		}
	}
	n := 0
	for _, p := range c.Places {
		if p.State == Confirmed && !p.Minor && guardians[text.Fold(p.Name)] {
			n++
		}
	}
	return n
}

// Party is the hike as the staffing number sees it, with the qualified of its staff. How
// many participants there are is the caller's to say: those with a place, or all places.
func (c Crew) Party(participants int) Party {
	named, _ := c.Qualified()
	rules := c.Hike.Rules()
	return Party{Participants: participants, Minors: c.minors(), Responsible: c.responsible(), Cap: c.Trail.PermitCap,
		CapCountsStaff: !c.Trail.PermitWithoutStaff, Persons: len(c.Hike.Staff), Qualified: named, Ratio: rules.Ratio, Fewest: rules.FewestStaff, MinorsEach: rules.MinorsPerAdult}
}

// OnCallAnswer is where the asking of on-call stands: empty where nobody is named.
func (h Hike) OnCallAnswer() Answer {
	switch {
	case h.OnCall == Contact{}:
		return ""
	case h.OnCallAccepted.IsZero():
		return AnswerAsked
	}
	return AnswerAccepted
}
