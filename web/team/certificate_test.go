package team_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/team"
	"saltbush/internal/unit"
)

// A certificate of the leader that ends the day before the hike keeps it from being posted.
func TestEndedCertificateBlocksPosting(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	day := unit.DateOf(s.Hike(t, 1).Start)
	s.ChangeHike(t, 1, func(h *hike.Hike) {
		h.State, h.Staff[0].Answer = hike.Draft, team.AnswerAccepted
		h.OnCall = team.Contact{Name: "Rosa Lind", Email: "rosa.lind@example.org"}
	})
	v := s.SignIn(t, sitetest.Coordinator)
	add := func(kind, through string) {
		t.Helper()
		v.Post("/staff/people/2/certificates", url.Values{
			"certificate": {kind}, "issuer": {"Sill Basin Rescue School"}, "through": {through},
			"evidence": {"copy on file"},
		}).Want(http.StatusSeeOther)
	}
	add("wilderness first aid", day.Add(-1).String())
	add("CPR", day.String())
	add("leader agreement", "")
	v.Post("/staff/people/2/approvals", url.Values{
		"from": {day.Add(-300).String()}, "level": {"leader"}, "max_class": {"strenuous"}, "status": {"active"},
		"reason": {"four hikes observed"},
	}).Want(http.StatusSeeOther)
	blocked := v.Post("/hikes/1/post", nil).Want(http.StatusConflict)
	blocked.Shows("wilderness first aid through " + day.Add(-1).Words() + " only")
	add("wilderness first aid", day.String())
	v.Post("/hikes/1/post", nil).Want(http.StatusSeeOther)
}
