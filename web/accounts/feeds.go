package accounts

import (
	"crypto/rand"
	"errors"
	"net/http"
	"strconv"
	"unicode/utf8"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/web/accounts/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// maxFeedName is the length limit of a feed's name, in characters. Our judgment.
const maxFeedName = 60

// feedsText returns a person's calendar feeds. Made is the address of a new one, or empty.
func (s *Handlers) feedsText(r *http.Request, me account.Account, a ui.FormState, made string) (view.FeedsText, error) {
	list, err := s.Accounts.Feeds(r.Context(), me.ID)
	f := view.FeedsText{New: made, Full: len(list) >= account.MaxFeeds, Name: view.NewFeedField(a)}
	zone := s.Zone(r)
	for _, x := range list {
		line := view.FeedLine{Name: x.Name, Made: format.Moment(x.Made, zone), Read: "never"}
		if !x.LastRead.IsZero() {
			line.Read = format.Moment(x.LastRead, zone)
		}
		line.End = ui.ButtonText{Label: "End", URL: "/account/feeds/" + strconv.FormatInt(x.ID, 10) + "/end",
			About: x.Name + ", made " + line.Made}
		f.Lines = append(f.Lines, line)
	}
	return f, err
}

// MakeFeed creates a calendar feed for the viewer and shows its address once.
func (s *Handlers) MakeFeed(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	f := kit.NewForm(r)
	name := f.Text("feed")
	if n := utf8.RuneCountInString(name); n == 0 || n > maxFeedName {
		f.Faults.Add("feed", "Say in a few words what will follow it.")
		return s.renderAccount(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults), "")
	}
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return err
	}
	err = s.Accounts.AddFeed(r.Context(), account.Feed{Owner: me.ID, Name: name, Made: s.Now()}, hash)
	if errors.Is(err, account.ErrTooManyFeeds) {
		f.Faults.Add("feed", kit.Sentence(err))
		return s.renderAccount(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults), "")
	}
	if err != nil {
		return err
	}
	return s.renderAccount(w, r, http.StatusCreated, ui.FormState{}, s.BaseURL+"/feed/"+secret.Reveal()+"/hikes.ics")
}

// EndFeed deletes a calendar feed of the viewer.
func (s *Handlers) EndFeed(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	id, err := strconv.ParseInt(chi.URLParam(r, "feed"), 10, 64)
	if err != nil {
		return account.ErrNotFound
	}
	if err := s.Accounts.EndFeed(r.Context(), me.ID, id); err != nil {
		return err
	}
	return s.SeeOther(w, r, "/account#feeds", "That address of your calendar works no more.")
}
