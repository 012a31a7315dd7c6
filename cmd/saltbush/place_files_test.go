package main

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/signup"
	"saltbush/internal/team"
)

// The number of on-call is on the card of whoever has a place, and of nobody else; a place
// given back is cancelled under the same name with a higher number.
func TestPlaceHasItsEntryAndCard(t *testing.T) {
	p := serveStaffed(t)
	p.changeHike(t, func(h *hike.Hike) { h.OnCall = team.Contact{Name: "Oren Vale", Phone: "+1 555 010 0142"} })
	secret, hash, err := account.NewLink(strings.NewReader(strings.Repeat("walks", 8)))
	if err != nil {
		t.Fatal(err)
	}
	place, err := p.db.SignUp(context.Background(), signup.SignUp{ID: uuid.NewString(), Hike: 1, Name: "Amaya Reyes", Email: "amaya@example.org", Asked: time.Now(), Link: hash[:]}, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	at := "/place/" + secret.Reveal()
	_, file := p.fetch(t, client(t), at+"/hike.ics")
	before := eventsIn(t, file)[0]
	if status, card := p.fetch(t, client(t), at+"/contact.vcf"); status != http.StatusOK || !strings.Contains(card, "TEL;VALUE=uri;TYPE=voice:tel:+15550100142\r\n") {
		t.Errorf("card: status %d\n%s", status, card)
	}
	if _, err := p.db.ChangeSignUp(context.Background(), place.ID, time.Now(), (*signup.SignUp).Withdraw); err != nil {
		t.Fatal(err)
	}
	_, file = p.fetch(t, client(t), at+"/hike.ics")
	after := eventsIn(t, file)[0]
	if valueOf(before, "STATUS") != "CONFIRMED" || valueOf(after, "STATUS") != "CANCELLED" || valueOf(after, "SEQUENCE") != "1" || valueOf(before, "UID") != valueOf(after, "UID") {
		t.Errorf("before %v, after %v", before.Props, after.Props)
	}
	if status, _ := p.fetch(t, client(t), at+"/contact.vcf"); status != http.StatusNotFound {
		t.Errorf("card of a place given back: status %d", status)
	}
	if _, notice := p.fetch(t, client(t), "/hikes/1"); strings.Contains(notice, "010 0142") {
		t.Error("the public notice shows the number of on-call")
	}
}
