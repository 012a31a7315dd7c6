package hike

import (
	"fmt"
	"slices"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/ref"
	"saltbush/internal/team"
)

const errNotAsked = fault.Refusal("You are no longer asked for this hike. Talk with its leader or a coordinator.")

// StaffOf returns the first member of the staff with the role.
func (h Hike) StaffOf(role team.Role) (team.Staff, bool) {
	for _, s := range h.Staff {
		if s.Role == role {
			return s, true
		}
	}
	return team.Staff{}, false
}

// HasStaff reports whether the account is on the hike's staff.
func (h Hike) HasStaff(account ref.Account) bool {
	_, is := MemberOf(h, account)
	return is
}

// MemberOf returns the member of the hike's staff with the account.
func MemberOf(h Hike, account ref.Account) (team.Staff, bool) {
	for _, m := range h.Staff {
		if m.Account == account {
			return m, true
		}
	}
	return team.Staff{}, false
}

// Ask puts somebody on the staff, as asked. They replace a leader or sweep who has not
// accepted. One who has accepted must be taken off first.
func (h *Hike) Ask(s team.Staff) error {
	if err := h.answerable(); err != nil {
		return err
	}
	if !slices.Contains(team.Roles(), s.Role) {
		return fault.Invalid{"role": "Choose a part."}
	}
	var kept []team.Staff
	for _, b := range h.Staff {
		switch {
		case b.Account == s.Account:
			return fault.Refusal(fmt.Sprintf("%s is on this hike already, as %s.", b.Name, b.Role))
		case b.Role == s.Role && s.Role != team.Assistant && b.Accepted():
			return fault.Refusal(fmt.Sprintf("%s has accepted as %s. Take them off first, and tell them.",
				b.Name, b.Role))
		case b.Role == s.Role && s.Role != team.Assistant:
			continue
		}
		kept = append(kept, b)
	}
	s.Answer, s.Answered = team.AnswerAsked, time.Time{}
	h.Staff = append(kept, s)
	return nil
}

// TakeOff takes somebody off the staff. It does not tell them.
func (h *Hike) TakeOff(person string) error {
	if err := h.answerable(); err != nil {
		return err
	}
	h.Staff = slices.DeleteFunc(slices.Clone(h.Staff), func(s team.Staff) bool { return s.Person == person })
	return nil
}

// AcceptOnCall records that on-call accepted.
func (h *Hike) AcceptOnCall(now time.Time) error {
	if err := h.answerable(); err != nil {
		return err
	}
	if h.OnCall == (team.Contact{}) {
		return fault.Refusal("Nobody is named as on-call.")
	}
	if h.OnCallAccepted.IsZero() {
		h.OnCallAccepted = now
	}
	return nil
}

// Accept records that somebody on the staff accepted. Accepting twice is not an error.
func (h *Hike) Accept(person string, now time.Time) error {
	if err := h.answerable(); err != nil {
		return err
	}
	for i := range h.Staff {
		if s := &h.Staff[i]; s.Person == person {
			if !s.Accepted() {
				s.Answer, s.Answered = team.AnswerAccepted, now
			}
			return nil
		}
	}
	return errNotAsked
}

// Decline takes somebody off the staff and returns the decline with their reason.
func (h *Hike) Decline(person, because string, now time.Time) (team.Decline, error) {
	if err := h.answerable(); err != nil {
		return team.Decline{}, err
	}
	v := fault.Invalid{}
	v.Require("because", because, 500, "Say why in a few words, so that whoever looks for somebody else knows.")
	if err := v.Err(); err != nil {
		return team.Decline{}, err
	}
	for i, s := range h.Staff {
		if s.Person == person {
			h.Staff = slices.Delete(slices.Clone(h.Staff), i, i+1)
			d := team.Decline{Hike: h.ID, Account: s.Account, Name: s.Name, Role: s.Role, Because: because, At: now}
			return d, nil
		}
	}
	return team.Decline{}, errNotAsked
}

// DeclineOnCall clears on-call and returns the decline with the reason.
func (h *Hike) DeclineOnCall(because string, now time.Time) (team.Decline, error) {
	if err := h.answerable(); err != nil {
		return team.Decline{}, err
	}
	if h.OnCall == (team.Contact{}) {
		return team.Decline{}, errNotAsked
	}
	v := fault.Invalid{}
	v.Require("because", because, 500, "Say why in a few words, so that whoever looks for somebody else knows.")
	if err := v.Err(); err != nil {
		return team.Decline{}, err
	}
	d := team.Decline{Hike: h.ID, Name: h.OnCall.Name, Role: team.OnCallPart, Because: because, At: now}
	h.OnCall, h.OnCallAccepted = team.Contact{}, time.Time{}
	return d, nil
}

// OpenAfter lists the declines of parts that nobody has taken since.
func (h Hike) OpenAfter(declines []team.Decline) []team.Decline {
	var list []team.Decline
	for _, d := range declines {
		_, taken := h.StaffOf(d.Role)
		if d.Role == team.OnCallPart {
			taken = h.OnCall != (team.Contact{})
		}
		if !taken {
			list = append(list, d)
		}
	}
	return list
}

func (h Hike) answerable() error {
	if h.State != Draft && h.State != Posted {
		return fault.Refusal(fmt.Sprintf("This hike is %s; its staff stands.", h.State))
	}
	return nil
}

// KeepAnswers returns the staff of a changed hike with the answers that are still valid.
// Somebody whose role changed is asked again, and so is everybody if the time or trail changed.
func KeepAnswers(before, after Hike) []team.Staff {
	moved := !before.Meet.Equal(after.Meet) || !before.Start.Equal(after.Start) || before.Trail != after.Trail
	out := slices.Clone(after.Staff)
	for i := range out {
		out[i].Answer, out[i].Answered = team.AnswerAsked, time.Time{}
		for _, b := range before.Staff {
			if b.Account == out[i].Account && b.Role == out[i].Role && !moved {
				out[i].Answer, out[i].Answered = b.Answer, b.Answered
			}
		}
	}
	return out
}

// OnCallAnswer returns the answer of on-call; "" if nobody is named.
func (h Hike) OnCallAnswer() team.Answer {
	switch {
	case h.OnCall == team.Contact{}:
		return ""
	case h.OnCallAccepted.IsZero():
		return team.AnswerAsked
	}
	return team.AnswerAccepted
}
