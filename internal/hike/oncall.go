package hike

import (
	"fmt"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/party"
	"saltbush/internal/text"
)

// Override is the written reason of a named person to go on although a rule stops the hike.
type Override struct {
	Reason string
	By     string
	At     time.Time
}

// Made reports whether there is one.
func (o Override) Made() bool { return !o.At.IsZero() }

// Words say who wrote it, when and why: "Ash Moreno, Sun 10 May, 05:40: the road crew watches". They
// are empty if there is none.
func (o Override) Words(zone *time.Location) string {
	if !o.Made() {
		return ""
	}
	return fmt.Sprintf("%s, %s: %s", o.By, format.Moment(o.At, zone), o.Reason)
}

// OnCallGap says why no alarm can reach anybody on call, "" if one can.
func (h Hike) OnCallGap() string {
	return party.OnCallGap(h.OnCall.Name, h.OnCall.Reachable(!h.OnCallAccepted.IsZero()))
}

// OverrideOnCall lets the hike be posted and leave although no alarm can reach anybody on call.
func (h *Hike) OverrideOnCall(o Override) error {
	switch {
	case h.State != Draft && h.State != Posted:
		return fault.Refusal(fmt.Sprintf("This hike is %s. A reason can only be given before it leaves.", h.State))
	case h.OnCallGap() == "":
		return fault.Refusal("An alarm can reach " + h.OnCall.Name + ", who is on call.")
	}
	v := fault.Invalid{}
	if text.Empty(o.Reason) {
		v.Add("reason", "Write why the hike goes without an on-call contact who can be reached.")
	}
	v.AtMost("reason", o.Reason, 1000)
	if err := v.Err(); err != nil {
		return err
	}
	h.OnCallOverride = o
	return nil
}

// OnCallWarning says that the hike goes, or went, without anybody on call who can be reached, who
// decided that and why. It is empty if an alarm can reach somebody, or if nobody decided it.
func (h Hike) OnCallWarning(d party.Departure) string {
	o := h.OnCallOverride
	if !o.Made() && d.WithoutOnCall() {
		o = Override{By: d.By, At: d.At, Reason: format.OrElse(d.Reason, "no reason was written")}
	}
	if !o.Made() || h.OnCallGap() == "" && !d.WithoutOnCall() {
		return ""
	}
	return "No on-call contact can be reached. Approved anyway by " + o.Words(h.Start.Location())
}
