package site_test

import (
	"context"
	"testing"
	"time"

	"saltbush/internal/site/sitetest"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/unit"
)

func TestCertificateWarningsAreSentOnce(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	ctx := context.Background()
	h, err := s.DB.Hike(ctx, 1)
	if err != nil {
		t.Fatal(err)
	}
	day := unit.DateOf(h.Start)
	paper := team.Certificate{
		Account:  2,
		Kind:     "wilderness first aid",
		Issuer:   "Sill Basin Rescue School",
		Through:  day.Add(-1),
		Evidence: "copy on file",
	}
	leads := team.Approval{
		From:     day.Add(-9),
		Level:    team.LevelLeader,
		MaxClass: track.Strenuous,
		Status:   team.StatusActive,
		Reason:   "x",
		Written:  time.Now(),
	}
	if err := s.DB.AddCertificate(ctx, paper); err != nil {
		t.Fatal(err)
	}
	if err := s.DB.AddApproval(ctx, 2, leads); err != nil {
		t.Fatal(err)
	}
	for range 3 {
		if err := s.RemindStaff(ctx); err != nil {
			t.Fatal(err)
		}
	}
	to := map[string]int{}
	for _, m := range s.Mails(t) {
		to[m.To]++
	}
	// About the end of the certificate, and about the hike after it, to both people.
	if len(to) != 2 || to[sitetest.Leader] != 2 || to[sitetest.Coordinator] != 2 {
		t.Errorf("warnings %v, want two to the leader and two to the coordinator", to)
	}
}
