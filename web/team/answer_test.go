package team_test

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/team"
)

// mailsTo returns the recipients of the mails with a text.
func mailsTo(t *testing.T, s *sitetest.Site, says string) (to []string) {
	t.Helper()
	for _, m := range s.Mails(t) {
		if strings.Contains(m.Text, says) {
			to = append(to, m.To)
		}
	}
	slices.Sort(to)
	return to
}

func TestAskedByMailAnswersByLink(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	coordinator := s.SignIn(t, sitetest.Coordinator)
	ask := url.Values{"account": {"3"}, "role": {"sweep"}} // account 3 is the other leader
	coordinator.Post("/hikes/1/staffing/ask", ask).Want(http.StatusSeeOther)
	early := coordinator.Post("/hikes/1/decide", url.Values{"reason": {"short and early"}})
	early.Want(http.StatusConflict).Shows("has not accepted yet")

	sweep := func() (team.Staff, bool) { return s.Hike(t, 1).StaffOf(team.Sweep) }
	link := askedLink(t, s, sitetest.OtherLeader)
	v := s.Visitor(t) // with the link and no account
	v.Get(link).Want(http.StatusOK).Shows("nobody counts on you")
	if got, _ := sweep(); got.Accepted() {
		t.Error("looking at the link accepts")
	}
	v.Post(link, url.Values{"answer": {"no"}}).Want(http.StatusUnprocessableEntity).Shows("Say why in a few words")
	v.Post(link, url.Values{"answer": {"yes"}})
	if got, _ := sweep(); !got.Accepted() {
		t.Errorf("after a yes the sweep is %+v, want accepted", got)
	}
	v.Post(link, url.Values{"answer": {"no"}, "because": {"a cold"}})
	if got, on := sweep(); on {
		t.Errorf("after a no the sweep is %+v, want nobody", got)
	}
	want := []string{sitetest.Coordinator, sitetest.Leader}
	if got := mailsTo(t, s, "a cold"); !slices.Equal(got, want) {
		t.Errorf("the no is mailed to %v, want %v", got, want)
	}
	coordinator.Get("/hikes/1/staffing").Shows("a cold")
}

// askedLink returns the link in the request to staff a hike.
func askedLink(t *testing.T, s *sitetest.Site, email string) string {
	t.Helper()
	for _, m := range s.Mails(t) {
		if m.To == email && strings.Contains(m.Text, "/asked/") {
			return sitetest.LinkIn(t, m, "asked")
		}
	}
	t.Fatalf("no mail asks %s", email)
	return ""
}

// The reason why on-call declined is shown until somebody else is named.
func TestOnCallSaysNoWithAReason(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	setOnCall := func(c team.Contact) { s.ChangeHike(t, 1, func(h *hike.Hike) { h.OnCall = c }) }
	setOnCall(team.Contact{Name: "Petra Halloway", Phone: "602-555-0113", Email: sitetest.OnCall})
	secret, hash := sitetest.NewLink(t)
	asked := account.Link{Hash: hash, Target: account.AskedTarget(1, hike.OnCall), Expires: s.Hike(t, 1).Start}
	if err := s.DB.AccountStore().AddLink(context.Background(), asked); err != nil {
		t.Fatal(err)
	}
	link, no := "/asked/"+secret.Reveal(), url.Values{"answer": {"no"}}
	s.Visitor(t).Post(link, no).Want(http.StatusUnprocessableEntity)
	if got := s.Hike(t, 1).OnCall.Name; got != "Petra Halloway" {
		t.Errorf("after a no without a reason %q is on call, want Petra Halloway", got)
	}
	no.Set("because", "night shift before")
	s.Visitor(t).Post(link, no).Want(http.StatusSeeOther)
	if got := s.Hike(t, 1).OnCall.Name; got != "" {
		t.Errorf("after a no %q is on call, want nobody", got)
	}
	want := []string{sitetest.Coordinator, sitetest.Leader}
	if got := mailsTo(t, s, "night shift before"); !slices.Equal(got, want) {
		t.Errorf("the no is mailed to %v, want %v", got, want)
	}
	leader := s.SignIn(t, sitetest.Leader)
	for _, path := range []string{"/hikes/1/manage", "/hikes/1/staffing"} {
		leader.Get(path).Shows("Petra Halloway", "night shift before")
	}
	setOnCall(team.Contact{Name: "Teo Marsh", Phone: "602-555-0114"})
	leader.Get("/hikes/1/manage").Hides("night shift before")
}

func TestOnlyTheAskedPersonAnswers(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	answer := url.Values{"hike": {"1"}, "person": {s.Hike(t, 1).Staff[0].Person}, "answer": {"yes"}}
	s.SignIn(t, sitetest.OtherLeader).Post("/mine/answer", answer).Want(http.StatusConflict)
	s.SignIn(t, sitetest.Leader).Post("/mine/answer", answer).Want(http.StatusSeeOther)
	if got := s.Hike(t, 1).Staff[0]; !got.Accepted() {
		t.Errorf("after their yes the leader is %+v, want accepted", got)
	}
}
