package notify_test

import (
	"slices"
	"strings"
	"testing"

	"saltbush/internal/message"
	"saltbush/internal/team"
	"saltbush/internal/unit"
)

// withCertificate is a fake whose leader has a certificate that ends five days after the hike.
func withCertificate() *fake {
	f := newFake()
	day := unit.DateOf(start())
	f.people = []team.Qualification{{
		Account:      1,
		Name:         "Juniper Vale",
		Certificates: []team.Certificate{{Account: 1, Kind: "wilderness first aid", Through: day.Add(5)}},
		Approvals:    []team.Approval{{From: day.Add(-90), Level: team.LevelLeader, Status: team.StatusActive}},
	}}
	return f
}

// The owner and the active coordinator are warned, once, each with a page of their own.
func TestWarningsOfCertificatesGoOnce(t *testing.T) {
	f := withCertificate()
	n := f.notifier(t)
	for range 3 {
		if err := n.RemindStaff(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	if got := slices.Compact(f.to()); !slices.Equal(got, []string{"juniper@example.org", "teo@example.org"}) {
		t.Fatalf("warned %v, want the owner and the coordinator", got)
	}
	for _, m := range f.mails {
		link := "https://hikes.example.org/mine"
		if m.To == "teo@example.org" {
			link = "https://hikes.example.org/staff/people/1"
		}
		if !strings.Contains(m.Text, link) || m.Topic != message.Papers {
			t.Errorf("to %s, topic %q, want the link %s:\n%s", m.To, m.Topic, link, m.Text)
		}
	}
}

func TestStoppedWarningsAreNotSent(t *testing.T) {
	f := withCertificate()
	f.stopped = []string{"juniper@example.org"}
	if err := f.notifier(t).RemindStaff(t.Context()); err != nil {
		t.Fatal(err)
	}
	if got := slices.Compact(f.to()); !slices.Equal(got, []string{"teo@example.org"}) {
		t.Errorf("warned %v, want the coordinator alone", got)
	}
}

func TestAHouseWithoutATimeZoneIsAnError(t *testing.T) {
	f := newFake()
	f.house.Zone = "Nowhere/Town"
	if err := f.notifier(t).RemindStaff(t.Context()); err == nil || !strings.Contains(err.Error(), "time zone") {
		t.Errorf("got %v, want an error about the time zone", err)
	}
}
