package watch

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/paths"
	"saltbush/internal/privacy"
	"saltbush/internal/ref"
	"saltbush/internal/ride"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
	"saltbush/web/kit"
	"saltbush/web/ui"
	"saltbush/web/watch/view"
)

// watchViewer is who looks at a watch and how: signed in, or by the private link of an alarm,
// which opens this watch and nothing else.
type watchViewer struct {
	id      ref.Hike
	account account.ID // whom the link was sent to, zero if they had no account
	name    string
	secret  string // empty if signed in
}

// path returns the address of a part of the watch for this viewer.
func (v watchViewer) path(part string) string {
	if v.secret != "" {
		return "/watch/" + v.secret + part
	}
	if part == "/hand-over" {
		return paths.Hike(v.id) + part
	}
	return paths.Watch(v.id) + part
}

// viewerOf returns which watch a request is about and who asks.
func (s *Handlers) viewerOf(r *http.Request) (watchViewer, error) {
	text := kit.SecretIn(r)
	if text == "" {
		return watchViewer{id: kit.HikeIn(r).ID, name: kit.NameOf(r)}, nil
	}
	link, err := account.OpenLink(r.Context(), s.Accounts, text, account.Watch, s.Now())
	return watchViewer{id: link.Hike, account: link.Account, name: link.Name, secret: text}, err
}

// watchData is what the pages of one watch need.
type watchData struct {
	hike.Data
	watchViewer
	watch.Case
	visibility    privacy.Visibility // of the viewer
	parked        ride.ParkedCars
	at            time.Time                      // when the page was requested
	demo          bool                           // no message is really sent
	mayTake       bool                           // the viewer may take an alarm
	staffFamilies map[ref.Account]account.Family // as far as the viewer sees them
}

// loadWatch loads the case of a watch and what the viewer may see of it.
func (s *Handlers) loadWatch(r *http.Request, v watchViewer) (watchData, error) {
	w := watchData{watchViewer: v, at: s.Now(), demo: s.Demo}
	rec, err := s.Rolls.Record(r.Context(), v.id)
	if err != nil {
		return w, err
	}
	if w.Data, err = s.LoadHikeData(r.Context(), rec.Hike); err != nil {
		return w, err
	}
	log, err := s.Watch.WatchLog(r.Context(), v.id)
	if err != nil {
		return w, err
	}
	w.Case = watch.CaseOf(roll.Watched{Record: rec, Trail: w.Data.Trail.Name, Plan: w.Data.Plan}, log)
	w.mayTake = s.mayTake(r, rec.Hike, v)
	if w.visibility, err = s.watchVisibility(r, w.Case, v); err != nil {
		return w, err
	}
	w.staffFamilies, err = s.familiesOf(r.Context(), rec.Hike, w.visibility)
	return w, err
}

// mayTake reports whether the viewer may take an alarm: whoever it was sent to, on-call, the deputy,
// coordinators and safety officers. Other leaders may write in the log.
func (s *Handlers) mayTake(r *http.Request, h hike.Hike, v watchViewer) bool {
	a, known := kit.ViewerOf(r).Account()
	if v.secret != "" || !known {
		return true // a link of the alarm, or the day link of on-call
	}
	return memberOf(a).Watches(h)
}

func memberOf(a account.Account) watch.Member {
	return watch.Member{
		ID: a.ID, Name: a.Name, Email: a.Email, Phone: a.Phone,
		Coordinator: a.Has(account.Coordinator), Safety: a.Has(account.Safety),
	}
}

// ShowWatch shows the watch of one hike.
func (s *Handlers) ShowWatch(w http.ResponseWriter, r *http.Request) error {
	return s.renderWatch(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderWatch(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	v, err := s.viewerOf(r)
	if err != nil {
		return err
	}
	x, err := s.loadWatch(r, v)
	if err != nil {
		return err
	}
	if x.Unopened(v.name) {
		line := watch.Logged{Hike: v.id, At: s.Now(), Kind: watch.LogOpened, By: v.name}
		x.Log = append(x.Log, line)
		if err := s.Watch.AddToLog(r.Context(), line); err != nil { // the page matters more
			s.Log.Error("note that an alarm was opened", "hike", v.id, "err", err)
		}
	}
	return s.Render(w, r, status, view.Watch(s.watchPage(r, x, a)))
}

// StreamWatch sends the live parts of a watch, after each change of this hike and every few
// seconds for the clocks. It leaves the form that somebody is filling in alone.
func (s *Handlers) StreamWatch(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.viewerOf(r); err != nil {
		return err
	}
	var mark uint64
	var sent time.Time
	zone := s.Zone(r)
	clock := func() string { return format.ClockSeconds(s.Now(), zone) }
	return s.stream(w, r, clock, func() (id, text string, err error) {
		v, err := s.viewerOf(r) // a link may have ended meanwhile
		if err != nil {
			return "", "", err
		}
		now, ids, all := s.Changes.Since(mark)
		if mark != 0 && !all && !slices.Contains(ids, v.id) && s.Now().Sub(sent) < boardEvery {
			return "", "", nil
		}
		x, err := s.loadWatch(r, v)
		if err != nil {
			return "", "", err
		}
		mark, sent, zone = now, s.Now(), x.Zone()
		text, err = renderPart(r.Context(), view.WatchLive(s.watchPage(r, x, ui.FormState{})))
		return strconv.FormatUint(now, 36), text, err
	})
}

// Acknowledge records that somebody has taken the alarm, so that nobody else is woken for it.
func (s *Handlers) Acknowledge(w http.ResponseWriter, r *http.Request) error {
	v, err := s.viewerOf(r)
	if err != nil {
		return err
	}
	if rec, err := s.Rolls.Record(r.Context(), v.id); err != nil {
		return err
	} else if !s.mayTake(r, rec.Hike, v) {
		return fault.Refusal("Only on-call, the deputy, coordinators, safety officers and whoever the alarm was sent " +
			"to can take it. You can write in the log.")
	}
	line := watch.Logged{Hike: v.id, At: s.Now(), Kind: watch.LogAcknowledged, By: v.name}
	if err := s.Watch.AddToLog(r.Context(), line); err != nil {
		return err
	}
	s.board.answered.Add(1)
	return s.SeeOther(w, r, v.path(""), "You have it, "+v.name+". Write down every call and what came of it.")
}

// Our judgment: a note is a few sentences. In bytes.
const maxNote = 2000

// NoteWatch adds a line to the log.
func (s *Handlers) NoteWatch(w http.ResponseWriter, r *http.Request) error {
	v, err := s.viewerOf(r)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	note := f.Text("note")
	switch {
	case note == "":
		f.Faults.Add("note", "Write what you did, saw or heard.")
	case len(note) > maxNote:
		f.Faults.Add("note", fmt.Sprintf("This is longer than %d characters. Write it as several lines.", maxNote))
	}
	if len(f.Faults) > 0 {
		return s.renderWatch(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults))
	}
	line := watch.Logged{Hike: v.id, At: s.Now(), Kind: watch.LogNote, By: v.name, Note: note}
	if note == view.CalledForHelp {
		line.Kind, line.Note = watch.LogCalled, ""
	}
	if err := s.Watch.AddToLog(r.Context(), line); err != nil {
		return err
	}
	return s.SeeOther(w, r, v.path("")+"#log", "Written down.")
}

// PassOn hands the alarm to somebody else, who is told at once.
func (s *Handlers) PassOn(w http.ResponseWriter, r *http.Request) error {
	v, err := s.viewerOf(r)
	if err != nil {
		return err
	}
	to := watch.Owner(r.PostFormValue("to"))
	if !slices.Contains(passTo(), to) {
		return fault.Refusal("Choose whom to pass the alarm on to.")
	}
	line := watch.Logged{Hike: v.id, At: s.Now(), Kind: watch.LogPassed, By: v.name, Recipient: string(to)}
	if err := s.Watch.AddToLog(r.Context(), line); err != nil {
		return err
	}
	s.board.answered.Add(1)
	return s.SeeOther(w, r, v.path(""), "Passed on to the "+string(to)+". They are being told.")
}

// passTo lists whom an alarm can be passed on to.
func passTo() []watch.Owner {
	return []watch.Owner{watch.OnCall, watch.Deputy, watch.Coordinator, watch.Safety}
}

// ReportBack records who is back by a phone call, name by name, so that on-call can stand the
// watch down from wherever they are.
func (s *Handlers) ReportBack(w http.ResponseWriter, r *http.Request) error {
	v, err := s.viewerOf(r)
	if err != nil {
		return err
	}
	x, err := s.loadWatch(r, v)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	heard := f.Text("heard")
	e := party.Event{ID: party.EventID(uuid.NewString()), Kind: party.KindBack, At: s.Now(), By: v.name,
		Persons: x.stillMissing(r.PostForm["person"])}
	if len(e.Persons) == 0 {
		f.Faults.Add("person", "Tick each name that was read out. Nobody is back without one.")
	}
	if heard == "" || len(heard) > maxNote {
		f.Faults.Add("heard", "Say in a few words who told you, and from where.")
	}
	if len(f.Faults) > 0 {
		return s.renderWatch(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults))
	}
	e.Note = "by phone: " + heard
	if _, err := s.Rolls.Append(r.Context(), v.id, []party.Event{e}, s.Now()); err != nil {
		return err
	}
	s.board.answered.Add(1)
	return s.SeeOther(w, r, v.path(""), format.Count(len(e.Persons), "person is", "people are")+" back by name.")
}

// ShowHandOver shows the sheet for search and rescue.
func (s *Handlers) ShowHandOver(w http.ResponseWriter, r *http.Request) error {
	v, err := s.viewerOf(r)
	if err != nil {
		return err
	}
	x, err := s.loadWatch(r, v)
	if err != nil {
		return err
	}
	book, err := s.Rides.RideBook(r.Context(), x.Hike.ID)
	if err != nil {
		return err
	}
	x.parked = ride.Parked(x.Hike, x.Data.Trail, x.SignUps, book)
	return s.Render(w, r, http.StatusOK, view.HandOver(s.handOverPage(r, x)))
}
