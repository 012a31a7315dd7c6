package signups_test

import (
	"context"
	"net/http"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/hike"
	"saltbush/internal/signup"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/team"
)

// The number of on-call is on the card of people with a place, and of nobody else. A place
// given back is cancelled in the calendar under the same name with a higher number.
func TestPlaceHasACalendarEntryAndAContactCard(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	o.ChangeHike(t, 1, func(h *hike.Hike) { h.OnCall = team.Contact{Name: "Oren Vale", Phone: "+1 555 010 0142"} })
	s, place := sitetest.AddSignUp(t, o.DB, sitetest.Walker("Amaya Reyes", "amaya@example.org"))
	v := o.Visitor(t)
	type entry struct{ UID, Status, Sequence string }
	read := func() entry {
		e := v.Get(place + "/hike.ics").Want(http.StatusOK).Event()
		return entry{sitetest.Property(e, "UID"), sitetest.Property(e, "STATUS"), sitetest.Property(e, "SEQUENCE")}
	}
	before := read()
	if before.UID == "" || before.Status != "CONFIRMED" {
		t.Errorf("entry %+v, want CONFIRMED with a UID", before)
	}
	card := v.Get(place + "/contact.vcf").Want(http.StatusOK)
	card.Shows("TEL;VALUE=uri;TYPE=voice:tel:+15550100142\r\n")

	if _, err := o.DB.ChangeSignUp(context.Background(), s.ID, time.Now(), (*signup.SignUp).Withdraw); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(entry{before.UID, "CANCELLED", "1"}, read()); diff != "" {
		t.Errorf("entry of a place given back (-want +got)\n%s", diff)
	}
	v.Get(place + "/contact.vcf").Want(http.StatusNotFound)
	v.Get("/hikes/1").Want(http.StatusOK).Hides("010 0142")
}
