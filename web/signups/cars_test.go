package signups_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/signup"
	"saltbush/internal/site/sitetest"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/walk"
)

// shuttled is a site with a posted one-way hike: number 2, two days ahead, led by Ash Moreno.
type shuttled struct {
	open
	hike  hike.Hike
	place map[string]string // the paths of the private pages by name
}

func serveShuttled(t testing.TB) *shuttled {
	t.Helper()
	ctx := context.Background()
	x := &shuttled{open: serve(t, sitetest.Staffed), place: map[string]string{}}
	fork := sitetest.DryFork()
	fork.Name, fork.Profile = "Long Fork", sitetest.Straight(200, 1, track.OneWay)
	fork.Points = []trail.Point{{Kind: trail.Goal, Name: "Far gate", Along: fork.Profile.Length}}
	id, err := sitetest.AddTrail(ctx, x.DB, fork)
	if err != nil {
		t.Fatal(err)
	}
	first := x.Hike(t, 1)
	x.hike = hike.Hike{
		Trail:   id,
		Title:   "Long Fork through",
		Meet:    first.Meet,
		Start:   first.Start,
		Places:  8,
		Pace:    walk.Ordinary,
		State:   hike.Posted,
		Created: time.Now(),
		Staff:   []team.Staff{{Person: uuid.NewString(), Account: first.Staff[0].Account, Role: team.Leader}},
	}
	if x.hike.ID, err = x.DB.AddHike(ctx, x.hike); err != nil {
		t.Fatal(err)
	}
	return x
}

// walker stores a confirmed place.
func (x *shuttled) walker(t testing.TB, name, plate string, seats int) {
	t.Helper()
	s := sitetest.Walker(name, strings.ToLower(strings.Fields(name)[0])+"@example.org")
	s.Hike = x.hike.ID
	s.Mobile = fmt.Sprintf("602 555 01%02d", 10+len(x.place))
	s.Car = signup.Car{Plate: plate, Seats: seats}
	_, x.place[name] = sitetest.AddSignUp(t, x.DB, s)
}

// mails are the mails about cars by their addresses, the latest first.
func (x *shuttled) mails(t testing.TB) map[string][]message.Mail {
	t.Helper()
	of := map[string][]message.Mail{}
	for _, m := range x.Mails(t) {
		if strings.HasPrefix(m.Key, "cars/") {
			of[m.To] = append(of[m.To], m)
		}
	}
	return of
}

// wantMails holds the number of mails about cars to each walker and to the leader.
func (x *shuttled) wantMails(t testing.TB, when string, want map[string]int) {
	t.Helper()
	got := map[string]int{}
	for to, mails := range x.mails(t) {
		name, _, _ := strings.Cut(to, "@")
		got[name] = len(mails)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("mails %s (-want +got)\n%s", when, diff)
	}
}

// car is the form of a car; with a town its driver shares a ride.
func car(plate string, seats int, town string) url.Values {
	v := url.Values{"plate": {plate}, "car_seats": {fmt.Sprint(seats)}}
	if town != "" {
		v.Set("ride_share", "yes")
		v.Set("ride_town", town)
	}
	return v
}

func (x *shuttled) carsPath() string { return fmt.Sprintf("/hikes/%d/cars", x.hike.ID) }

// serveThreeCars has three walkers: two with cars and one without.
func serveThreeCars(t testing.TB) *shuttled {
	t.Helper()
	x := serveShuttled(t)
	x.walker(t, "Amaya Reyes", "DRY 204", 4)
	x.walker(t, "Bo Dunn", "SLT 118", 2)
	x.walker(t, "Cleo Holt", "", 0)
	return x
}

// settle has the leader settle the shuttle and tell everybody.
func (x *shuttled) settle(leader *sitetest.Visitor) {
	shuttle := url.Values{"end_lot": {"Far gate"}, "drive_minutes": {"25"}}
	leader.Post(x.carsPath()+"/shuttle", shuttle).Want(http.StatusSeeOther)
	leader.Post(x.carsPath()+"/tell", nil).Want(http.StatusSeeOther)
}

func TestLeaderSettlesTheShuttleAndTellsIt(t *testing.T) {
	t.Parallel()
	x := serveThreeCars(t)
	leader, walker := x.SignIn(t, sitetest.Leader), x.Visitor(t)
	page := leader.Get(x.carsPath()).Want(http.StatusOK)
	page.Shows("Cars at the end", "Far gate", "Amaya Reyes", "back: Bo Dunn, Ash Moreno and Cleo Holt",
		"to the start: Amaya Reyes", "Nobody was told yet")
	page.Hides("DRY 204", "SLT 118", "602 555 0110") // two days ahead a leader does not read them
	walker.Get(x.place["Amaya Reyes"]).Hides("Bring your car")
	leader.Post(x.carsPath()+"/tell", nil).Want(http.StatusConflict)
	soon := url.Values{"end_lot": {"Far gate"}, "drive_minutes": {"soon"}}
	leader.Post(x.carsPath()+"/shuttle", soon).Want(http.StatusUnprocessableEntity)
	x.settle(leader)

	x.wantMails(t, "at first", map[string]int{"amaya": 1, "bo": 1, "cleo": 1, "leads": 1})
	for to, mails := range x.mails(t) {
		for _, name := range []string{"Amaya", "Bo", "Cleo", "602 555"} {
			if text := strings.ReplaceAll(mails[0].Text, "Hello "+name, ""); strings.Contains(text, name) {
				t.Errorf("the mail to %s names %s, who could not take that back: %s", to, name, text)
			}
		}
	}
	at := x.hike.Meet.Add(-35 * time.Minute).In(time.FixedZone("", -7*3600)).Format("15:04")
	page = walker.Get(x.place["Amaya Reyes"])
	page.Shows(at+"Bring your car to Far gate", "in a car that the leader names there", "Take 3 people to the start")
	page.Hides("Bo Dunn", "Cleo", "SLT 118", "602 555 0111")
}

// Two drivers read of each other once both have said yes, and until one takes it back.
func TestDriversKnowEachOtherWhenBothSaidYes(t *testing.T) {
	t.Parallel()
	x := serveThreeCars(t)
	v := x.Visitor(t)
	x.settle(x.SignIn(t, sitetest.Leader))
	amaya, bo := x.place["Amaya Reyes"], x.place["Bo Dunn"]
	v.Post(amaya+"/cars", car("DRY 204", 4, "")).Want(http.StatusSeeOther)
	noTown := url.Values{"plate": {"SLT 118"}, "car_seats": {"2"}, "ride_share": {"yes"}}
	v.Post(bo+"/cars", noTown).Want(http.StatusUnprocessableEntity)
	v.Post(bo+"/cars", car("SLT 118", 2, "Dry Mills")).Want(http.StatusSeeOther)
	v.Get(bo).Hides("Amaya")
	v.Get(amaya).Hides("Bo Dunn", "602 555 0111", "Dry Mills")

	v.Post(amaya+"/cars", car("DRY 204", 4, "Salt Ford")).Want(http.StatusSeeOther)
	both := v.Get(bo)
	both.Shows("Bring Amaya to the start", "602 555 0110", "Salt Ford").Hides("Amaya Reyes", "DRY 204",
		"amaya@example.org")
	v.Get(amaya).Shows("Bo", "602 555 0111", "Dry Mills")

	v.Post(amaya+"/cars", car("DRY 204", 4, "")).Want(http.StatusSeeOther)
	v.Get(bo).Hides("Amaya", "602 555 0110", "Salt Ford")
	v.Get(amaya).Hides("602 555 0111", "Dry Mills")
}

func TestDriverWhoWithdrawsLeavesSeatsMissing(t *testing.T) {
	t.Parallel()
	x := serveThreeCars(t)
	leader, v := x.SignIn(t, sitetest.Leader), x.Visitor(t)
	x.settle(leader)
	v.Post(x.place["Amaya Reyes"]+"/cars", car("DRY 204", 4, "")).Want(http.StatusSeeOther)
	v.Post(x.place["Bo Dunn"]+"/withdraw", nil).Want(http.StatusSeeOther)
	x.wantMails(t, "after a driver withdrew", map[string]int{"amaya": 2, "bo": 1, "cleo": 2, "leads": 2})
	text := strings.Join(strings.Fields(x.mails(t)["cleo@example.org"][0].Text), " ")
	if want := "no seat back to the start for you yet"; !strings.Contains(text, want) {
		t.Errorf("the mail to Cleo says %q, want %q", text, want)
	}
	leader.Get(x.carsPath()).Shows("No driver for the way to the start", "seats at the end too few")
	leader.Post(x.carsPath()+"/own", car("LEAD 7", 1, "")).Want(http.StatusSeeOther)
	page := leader.Get(x.carsPath())
	page.Shows("to the start: Amaya Reyes", "Be at Far gate with your car").Hides("too few", "No driver")
	if got := len(x.mails(t)["cleo@example.org"]); got != 3 {
		t.Errorf("%d mails to Cleo, want a third that there is a seat again", got)
	}
}

func TestOwnCarIsForStaffOfTheHike(t *testing.T) {
	t.Parallel()
	x := serveShuttled(t)
	x.SignIn(t, sitetest.Coordinator).Post(x.carsPath()+"/own", car("C 1", 3, "")).Want(http.StatusConflict)
}

// The form for a place asks whether to share a ride. The box is not ticked by itself.
func TestSignUpFormAsksWhetherToShareARide(t *testing.T) {
	t.Parallel()
	o := serve(t, sitetest.Staffed)
	v := o.Visitor(t)
	seal := o.seal(t, v)
	for _, tt := range []struct {
		name, town string
		share      bool
		want       int
	}{
		{"a yes without a town", "", true, http.StatusUnprocessableEntity},
		{"a yes", "Dry Mills", true, http.StatusSeeOther},
		{"nothing", "Dry Mills", false, http.StatusSeeOther},
	} {
		t.Run(tt.name, func(t *testing.T) {
			form := signUpForm(1)
			form.Set("seal", seal)
			form.Set("name", "Walker "+tt.name)
			form.Set("ride_town", tt.town)
			if tt.share {
				form.Set("ride_share", "yes")
			}
			v.In(t).Post(signUpPath, form).Want(tt.want)
		})
	}
	list := o.SignUps(t, 1)
	if len(list) != 2 {
		t.Fatalf("%d places, want 2", len(list))
	}
	book, err := o.DB.RideBook(context.Background(), 1)
	if err != nil {
		t.Fatal(err)
	}
	if yes := book.Sharing[list[0].ID]; !yes.Yes() || yes.Town != "Dry Mills" {
		t.Errorf("who said yes: %+v, want a yes from Dry Mills", yes)
	}
	if no := book.Sharing[list[1].ID]; no.Yes() || no.Town != "" {
		t.Errorf("who said nothing: %+v, want no and no town", no)
	}
}
