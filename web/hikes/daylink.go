package hikes

import (
	"crypto/rand"
	"encoding/hex"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/web/hikes/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// OpenDayLink opens a link for the day: the browser's session keeps it, and is sent on to what it
// opens. From then on the hike's own addresses work without the secret, and a phone can keep them
// for places without signal.
func (s *Handlers) OpenDayLink(w http.ResponseWriter, r *http.Request) error {
	secret, err := account.ParseSecret(kit.SecretIn(r))
	if err != nil {
		return err
	}
	link, err := s.Accounts.DayLinkByHash(r.Context(), secret.Hash())
	if err == nil {
		err = link.Check(s.Now())
	}
	if err != nil {
		return err
	}
	if err := s.Sessions.RenewToken(r.Context()); err != nil {
		return err
	}
	s.Sessions.Put(r.Context(), kit.DayKeyOf(link.Hike), hex.EncodeToString(link.Hash[:]))
	to := paths.Roll(ref.Hike(link.Hike))
	if link.Part == account.DayOnCall {
		to = paths.Watch(ref.Hike(link.Hike))
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// MakeDayLink makes a link for one named person and shows it once.
func (s *Handlers) MakeDayLink(w http.ResponseWriter, r *http.Request) error {
	h, f := kit.HikeIn(r), kit.NewForm(r)
	if h.State == hike.Closed || h.State == hike.CalledOff {
		return fault.Refusal("This hike is " + string(h.State) + ": there is nothing to open any more.")
	}
	l := account.DayLink{Hike: h.ID, Name: f.Text("link_name"), Part: account.DayPart(f.Text("link_part")),
		Made: s.Now(), MadeBy: kit.NameOf(r), Expires: h.Start.Add(account.DayLinkAtMost)}
	if l.Part == "" {
		f.Faults.Add("link_part", "Choose what the link opens.")
	} else if err := l.Validate(); err != nil {
		f.Faults.Add("link_name", "Write who gets the link.")
	}
	if len(f.Faults) > 0 {
		return s.renderHike(w, r, http.StatusUnprocessableEntity, h, kit.FormStateOf(r, f.Faults))
	}
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return err
	}
	l.Hash = hash
	if err := s.Accounts.AddDayLink(r.Context(), l); err != nil {
		return err
	}
	p, err := s.dayLinkPage(r, h, l, s.BaseURL+"/day/"+secret.Reveal())
	if err != nil {
		return err
	}
	return s.Render(w, r, http.StatusCreated, view.DayLinkMade(p))
}

func (s *Handlers) dayLinkPage(r *http.Request, h hike.Hike, l account.DayLink, address string) (view.DayLinkPage,
	error) {
	zone := h.Start.Location()
	p := view.DayLinkPage{Page: s.Page(r, "Link for "+l.Name, "Desk"), For: l.Name, Hike: h.Title, Address: address,
		Day: format.Day(h.Start, zone), Ends: format.Moment(l.Expires, zone),
		BackURL: paths.Manage(h.ID) + "#day-links"}
	what := "the roll"
	p.Opens = "It opens the roll of this hike and nothing else. Open it once while there is signal: the phone then " +
		"keeps the roll for the trail."
	if l.Part == account.DayOnCall {
		what = "the watch"
		p.Opens = "It opens the watch and the hand-over sheet of this hike and nothing else."
	}
	p.Message = fmt.Sprintf("%s: %s of %s, %s. Open it now, while you have signal. For you alone. %s",
		l.Name, what, h.Title, format.ShortDay(h.Start, zone), address)
	var err error
	p.Code, err = ui.NewQR(address)
	return p, err
}

// WithdrawDayLink ends a link for the day.
func (s *Handlers) WithdrawDayLink(w http.ResponseWriter, r *http.Request) error {
	h := kit.HikeIn(r)
	id, err := strconv.ParseInt(chi.URLParam(r, "link"), 10, 64)
	if err != nil {
		return account.ErrNotFound
	}
	if err := s.Accounts.WithdrawDayLink(r.Context(), h.ID, id, s.Now()); err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Manage(h.ID)+"#day-links",
		"Withdrawn: the link opens nothing any more. A phone without signal learns it at its next contact, and drops "+
			"its copy then.")
}

// dayLinks is the part of the page where links for the day are made and withdrawn.
func (s *Handlers) dayLinks(r *http.Request, h hike.Hike, a ui.FormState) (view.DayLinksText, error) {
	list, err := s.Accounts.DayLinks(r.Context(), h.ID)
	t := view.DayLinksText{URL: paths.Hike(h.ID) + "/day-links",
		Open: h.State != hike.Closed && h.State != hike.CalledOff}
	t.Name, t.Part = view.NewDayLinkFields(a)
	zone, now := h.Start.Location(), s.Now()
	for _, l := range list {
		t.Links = append(t.Links, dayLinkLine(l, zone, now))
	}
	return t, err
}

func dayLinkLine(l account.DayLink, zone *time.Location, now time.Time) view.DayLinkLine {
	line := view.DayLinkLine{Name: l.Name, Part: string(l.Part), Made: format.Moment(l.Made, zone) + ", by " + l.MadeBy,
		Used: "not yet", State: "open", Ends: format.Moment(l.Expires, zone)}
	if !l.LastUsed.IsZero() {
		line.Used = format.Moment(l.LastUsed, zone)
	}
	switch {
	case !l.Withdrawn.IsZero():
		line.State, line.Ends = "withdrawn", format.Moment(l.Withdrawn, zone)
	case l.Check(now) != nil:
		line.State = "ended"
	default:
		line.Withdraw = ui.ButtonText{Label: "Withdraw", Kind: ui.ButtonGrave,
			URL: fmt.Sprintf("%s/day-links/%d/withdraw", paths.Hike(ref.Hike(l.Hike)), l.ID), About: l.Name}
	}
	return line
}

// endDayLinks ends the links of a closed hike two days later.
func (s *Handlers) endDayLinks(r *http.Request, id ref.Hike) error {
	h, err := s.Hikes.Hike(r.Context(), id)
	if err != nil || (h.State != hike.Closed && h.State != hike.CalledOff) {
		return err
	}
	return s.Accounts.EndDayLinks(r.Context(), id, s.Now().Add(account.DayLinkAfterClose))
}
