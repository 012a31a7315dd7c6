package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
	"saltbush/web/view"
)

func watchPath(id hike.HikeID) string { return hikePath(id) + "/watch" }

// watcherIn is who looks at a watch and how: signed in, or by the private link of an
// alarm, which opens this watch and nothing else.
type watcherIn struct {
	id     hike.HikeID
	name   string
	secret string // empty for those who are signed in
}

// path is where a part of the watch lies for this viewer.
func (v watcherIn) path(part string) string {
	if v.secret != "" {
		return "/watch/" + v.secret + part
	}
	if part == "/hand-over" {
		return hikePath(v.id) + part
	}
	return watchPath(v.id) + part
}

// watcherOf finds out which watch the request is about and who asks.
func (s *watchHandlers) watcherOf(r *http.Request) (watcherIn, error) {
	text := secretIn(r)
	if text == "" {
		return watcherIn{id: hikeIn(r).ID, name: nameOf(r)}, nil
	}
	secret, err := account.ParseSecret(text)
	if err != nil {
		return watcherIn{}, err
	}
	link, err := s.Accounts.LinkByHash(r.Context(), secret.Hash())
	if err != nil {
		return watcherIn{}, err
	}
	if err := link.Open(secret, account.Watch, s.Now()); err != nil {
		return watcherIn{}, err
	}
	number, name, _ := strings.Cut(link.Subject, " ")
	id, err := strconv.ParseInt(number, 10, 64)
	if err != nil {
		return watcherIn{}, fmt.Errorf("subject %q of a link to a watch: %w", link.Subject, account.ErrLinkUnknown)
	}
	return watcherIn{id: hike.HikeID(id), name: name, secret: text}, nil
}

// watched is what the pages of a watch are made of.
type watched struct {
	told
	watcherIn
	watch.Case
	sight  hike.Sight // of whoever asks
	parked hike.ParkedCars
	at     time.Time // when the page was asked for
	demo   bool      // nothing leaves the program
}

func (s *watchHandlers) watchedBy(r *http.Request, v watcherIn) (watched, error) {
	w := watched{watcherIn: v, at: s.Now(), demo: s.Demo}
	rec, err := s.Rolls.Record(r.Context(), v.id)
	if err != nil {
		return w, err
	}
	if w.told, err = s.tell(r.Context(), rec.Hike); err != nil {
		return w, err
	}
	log, err := s.Watch.WatchLog(r.Context(), v.id)
	if err != nil {
		return w, err
	}
	w.Case = watch.CaseOf(roll.Watched{Record: rec, Trail: w.told.trail.Name, Plan: w.told.plan}, log)
	w.sight, err = s.watchSight(r, w.Case, v)
	return w, err
}

func (s *watchHandlers) showWatch(w http.ResponseWriter, r *http.Request) error {
	return s.renderWatch(w, r, http.StatusOK, view.Answers{})
}

func (s *watchHandlers) renderWatch(w http.ResponseWriter, r *http.Request, status int, a view.Answers) error {
	v, err := s.watcherOf(r)
	if err != nil {
		return err
	}
	x, err := s.watchedBy(r, v)
	if err != nil {
		return err
	}
	return s.render(w, r, status, view.Watch(s.watchPage(r, x, a)))
}

// streamWatch sends the parts of a watch that live, when something about this hike changed
// and every few seconds for the clocks' sake. What somebody is writing stays as it is.
func (s *watchHandlers) streamWatch(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.watcherOf(r); err != nil {
		return err
	}
	var mark uint64
	var sent time.Time
	return s.stream(w, r, func() (id, text string, err error) {
		v, err := s.watcherOf(r) // a link may have ended meanwhile
		if err != nil {
			return "", "", err
		}
		now, ids, all := s.Changes.Since(mark)
		if mark != 0 && !all && !slices.Contains(ids, v.id) && s.Now().Sub(sent) < boardEvery {
			return "", "", nil
		}
		x, err := s.watchedBy(r, v)
		if err != nil {
			return "", "", err
		}
		mark, sent = now, s.Now()
		text, err = drawn(r.Context(), view.WatchLive(s.watchPage(r, x, view.Answers{})))
		return strconv.FormatUint(now, 36), text, err
	})
}

// acknowledge says that somebody has the alarm: nobody further is woken for it.
func (s *watchHandlers) acknowledge(w http.ResponseWriter, r *http.Request) error {
	v, err := s.watcherOf(r)
	if err != nil {
		return err
	}
	line := watch.Logged{Hike: v.id, At: s.Now(), Kind: watch.LogAcknowledged, By: v.name}
	if err := s.Watch.AddToLog(r.Context(), line); err != nil {
		return err
	}
	s.board.answered.Add(1)
	return s.seeOther(w, r, v.path(""), "You have it, "+v.name+". Write down every call and what came of it.")
}

// House judgement: a note is a few sentences.
const longestNote = 2000

// noteWatch adds a line to the log.
func (s *watchHandlers) noteWatch(w http.ResponseWriter, r *http.Request) error {
	v, err := s.watcherOf(r)
	if err != nil {
		return err
	}
	f := newForm(r)
	note := f.text("note")
	switch {
	case note == "":
		f.faults.Add("note", "Write what you did, saw or heard.")
	case len(note) > longestNote:
		f.faults.Add("note", fmt.Sprintf("This is longer than %d characters. Write it as several lines.", longestNote))
	}
	if len(f.faults) > 0 {
		return s.renderWatch(w, r, http.StatusUnprocessableEntity, answers(r, f.faults))
	}
	line := watch.Logged{Hike: v.id, At: s.Now(), Kind: watch.LogNote, By: v.name, Note: note}
	if err := s.Watch.AddToLog(r.Context(), line); err != nil {
		return err
	}
	return s.seeOther(w, r, v.path("")+"#log", "Written down.")
}

// reportBack records who is back as somebody rang to say, name by name, so that on-call can
// stand the watch down from where they are.
func (s *watchHandlers) reportBack(w http.ResponseWriter, r *http.Request) error {
	v, err := s.watcherOf(r)
	if err != nil {
		return err
	}
	x, err := s.watchedBy(r, v)
	if err != nil {
		return err
	}
	f := newForm(r)
	heard := f.text("heard")
	e := roll.Event{ID: roll.EventID(uuid.NewString()), Kind: roll.KindBack, At: s.Now(), By: v.name, Persons: x.readOut(r.PostForm["person"])}
	if len(e.Persons) == 0 {
		f.faults.Add("person", "Tick each name that was read out. Nobody is back without one.")
	}
	if heard == "" || len(heard) > longestNote {
		f.faults.Add("heard", "Say in a few words who told you, and from where.")
	}
	if len(f.faults) > 0 {
		return s.renderWatch(w, r, http.StatusUnprocessableEntity, answers(r, f.faults))
	}
	e.Note = "by phone: " + heard
	if _, err := s.Rolls.Append(r.Context(), v.id, []roll.Event{e}, s.Now()); err != nil {
		return err
	}
	s.board.answered.Add(1)
	return s.seeOther(w, r, v.path(""), format.Count(len(e.Persons), "person is", "people are")+" back by name.")
}

func (s *watchHandlers) showHandOver(w http.ResponseWriter, r *http.Request) error {
	v, err := s.watcherOf(r)
	if err != nil {
		return err
	}
	x, err := s.watchedBy(r, v)
	if err != nil {
		return err
	}
	book, err := s.Rides.RideBook(r.Context(), x.Hike.ID)
	if err != nil {
		return err
	}
	x.parked = hike.Parked(x.Hike, x.told.trail, x.signUps, book)
	return s.render(w, r, http.StatusOK, view.HandOver(s.handOverPage(r, x)))
}
