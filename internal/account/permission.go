package account

import (
	"errors"
	"fmt"
	"slices"

	"saltbush/internal/ref"
)

// Kinds of refusal by May.
var (
	ErrSignIn     = errors.New("sign in first")
	ErrNotAllowed = errors.New("not allowed")
)

// Action is something a person asks to see or do.
type Action string

// The actions. Every handler asks May about one of them.
const (
	SeeCalendar Action = "see the calendar"
	SeeTrail    Action = "see a trail"
	SeeNotice   Action = "see the notice of a hike"
	SignUp      Action = "sign up for a hike"

	SeePlace      Action = "see a place on a hike"
	WithdrawPlace Action = "withdraw from a hike"

	// OwnCard is one's own medical card. OpenCards is asking to open somebody's: who may, and
	// when, the rules of cards say. SeeOpenings is the log of that.
	OwnCard     Action = "write one's own medical card"
	OpenCards   Action = "ask to open a medical card"
	SeeOpenings Action = "see who opened medical cards"

	// OwnData is what is kept of oneself, and to have it deleted. SeeKept is what is kept of
	// everybody, by kind and never what it says, with holds and the log.
	OwnData Action = "see what is kept of oneself"
	SeeKept Action = "see and hold what is kept"

	ManageTrails Action = "manage trails"
	ScheduleHike Action = "schedule a hike"
	SeePlan      Action = "see the plan of a hike"
	SeeBoard     Action = "see the board"

	// KeepWatch is to answer alarms, write in the log and stand a watch down.
	SeeWatch  Action = "see the watch of a hike"
	KeepWatch Action = "keep the watch of a hike"

	ManageHike    Action = "manage a hike"
	ManageSignUps Action = "manage the sign-ups of a hike"
	SaveSignUps   Action = "save sign-ups as a file"
	SeeTripSheet  Action = "see the trip sheet of a hike"
	TakeRoll      Action = "take the roll of a hike"

	// AnswerAsked is one's own page: the hikes one is asked for, and when one cannot.
	AnswerAsked   Action = "answer when asked"
	SeeAccount    Action = "see one's own account"
	SeeRecords    Action = "see the records of staff"
	NoteObserved  Action = "note an observed hike"
	ManageRecords Action = "manage the records of staff"
	SeeStaffing   Action = "see the gaps in staffing"

	ManagePeople   Action = "manage people"
	ManageSettings Action = "manage the rules of the house"
	SeeOutbox      Action = "see the outbox"
)

// Viewer is whoever asks: nobody in particular, an account, the holder of a link, or an
// account that also holds a link. The zero value is nobody in particular.
type Viewer struct {
	account Account
	link    Link
	held    bool // what only coordinators may do is held back
}

// Anonymous is the viewer who has shown nothing.
func Anonymous() Viewer { return Viewer{} }

// SignedIn is the viewer who has signed in to the account.
func SignedIn(a Account) Viewer { return Viewer{account: a} }

// PendingTwoFactor is the viewer who has signed in with a password alone to the account of a
// coordinator, where the house asks for a second step by now. What only coordinators may
// do is held back. A party that is out is not: they may do what on-call may, beside what
// their other roles allow.
func PendingTwoFactor(a Account) Viewer { return Viewer{account: a, held: true} }

// WithLink is the same viewer, who has also opened the link.
func (v Viewer) WithLink(l Link) Viewer {
	v.link = l
	return v
}

// Account returns the account that the viewer has signed in to. It is false for a
// viewer without one and for an account that is no longer active.
func (v Viewer) Account() (Account, bool) {
	if v.account.ID == 0 || !v.account.Active {
		return Account{}, false
	}
	return v.account, true
}

// Has tells whether the viewer has signed in to an active account with the role, and
// with all that the house asks for it.
func (v Viewer) Has(r Role) bool {
	a, ok := v.Account()
	if ok && v.held && a.Has(Coordinator) {
		return r == OnCall || r != Coordinator && a.Has(r)
	}
	return ok && a.Has(r)
}

// Subject is what an action is about. Fields that do not apply stay empty, and what is
// empty allows nothing.
type Subject struct {
	Hike   ref.Hike
	Place  string // the id of the sign-up
	Posted bool   // the hike's notice is public
	Today  bool   // it is the day of the hike, and the hike is not over
	Staff  []ID   // the accounts of the hike's leader, sweep and assistants
}

// group is who may do a set of actions. Coordinators are in all of them but placeAlone.
type group int

const (
	nobody       group = iota // unknown actions
	everyone                  // public
	ifPosted                  // public once the hike is posted; leaders before
	placeHolder               // the holder of the link to that place, and the hike's staff
	leaders                   // leaders
	planReaders               // leaders, and the safety officer
	boardReaders              // leaders, on-call, and the safety officer
	watchReaders              // the same, on-call on the day only; and holders of its link for on-call
	watchKeepers              // leaders, on-call, and holders of the hike's link for on-call
	hikeStaff                 // leaders who staff that hike
	hikeStaffDay              // the same, on the day only
	hikeDay                   // leaders who staff that hike, and holders of its link for the day
	hikePaper                 // the same, and the safety officer
	members                   // whoever has an account
	trainers                  // trainers
	safety                    // safety officers
	placeAlone                // the holder of the link to that place and nobody else
	coordinators              // nobody else
)

func groupOf(a Action) group {
	switch a {
	case SeeCalendar, SeeTrail:
		return everyone
	case SeeNotice, SignUp:
		return ifPosted
	case OwnCard, OwnData:
		return placeAlone
	case SeePlace, WithdrawPlace:
		return placeHolder
	case ManageTrails, ScheduleHike:
		return leaders
	case SeePlan:
		return planReaders
	case SeeBoard:
		return boardReaders
	case SeeWatch:
		return watchReaders
	case KeepWatch:
		return watchKeepers
	case ManageHike, ManageSignUps:
		return hikeStaff
	case SaveSignUps:
		return hikeStaffDay
	case SeeTripSheet:
		return hikePaper
	case TakeRoll:
		return hikeDay
	case SeeOpenings, SeeKept:
		return safety
	case AnswerAsked, SeeAccount, OpenCards:
		return members
	case SeeRecords, NoteObserved:
		return trainers
	case ManageRecords, SeeStaffing, ManagePeople, ManageSettings, SeeOutbox:
		return coordinators
	}
	return nobody
}

// May returns nil where the viewer may do the action. Otherwise it returns ErrSignIn to
// a viewer without an account, who may be allowed after signing in, ErrSecondStep to a
// coordinator who is held back, and ErrNotAllowed to any other with an account; all name
// the action. An unknown action is refused to everybody.
func May(v Viewer, a Action, on Subject) error {
	g := groupOf(a)
	if g != nobody && (g != placeAlone && v.Has(Coordinator) || g.includes(v, on)) {
		return nil
	}
	if _, ok := v.Account(); !ok {
		return fmt.Errorf("%s: %w", a, ErrSignIn)
	}
	if v.held && g != nobody {
		return fmt.Errorf("%s: %w", a, ErrSecondStep)
	}
	return fmt.Errorf("%s: %w", a, ErrNotAllowed)
}

func (g group) includes(v Viewer, on Subject) bool {
	switch g {
	case everyone:
		return true
	case ifPosted:
		return on.Posted || v.Has(Leader)
	case placeHolder:
		return v.holdsPlace(on) || v.leads(on)
	case leaders:
		return v.Has(Leader)
	case hikeStaff:
		return v.leads(on)
	case hikeStaffDay:
		return v.leads(on) && on.Today
	case members:
		_, ok := v.Account()
		return ok
	case trainers:
		return v.Has(Trainer)
	case placeAlone:
		return v.holdsPlace(on)
	case safety:
		return v.Has(Safety)
	case hikeDay:
		return v.leads(on) || v.holdsDay(on)
	case hikePaper:
		return v.leads(on) || v.holdsDay(on) || v.Has(Safety)
	}
	return g.watches(v, on)
}

// watches is the part of includes that is about the board and its watches.
func (g group) watches(v Viewer, on Subject) bool {
	switch g {
	case planReaders:
		return v.Has(Leader) || v.Has(Safety)
	case boardReaders:
		return v.Has(Leader) || v.Has(Safety) || v.Has(OnCall)
	case watchReaders:
		return v.Has(Leader) || v.Has(Safety) || v.Has(OnCall) && on.Today || v.holdsDayWatch(on)
	case watchKeepers:
		return v.Has(Leader) || v.Has(OnCall) || v.holdsDayWatch(on)
	}
	return false
}

// leads tells whether the viewer is a leader on the staff of the hike.
func (v Viewer) leads(on Subject) bool {
	return v.Has(Leader) && slices.Contains(on.Staff, v.account.ID)
}

// holdsPlace reports whether the viewer's link opens the sign-up that the action is about.
func (v Viewer) holdsPlace(on Subject) bool {
	return on.Place != "" && v.link.Target == PlaceTarget(on.Place)
}

// holdsDay reports whether the viewer's link opens the roll of the hike.
func (v Viewer) holdsDay(on Subject) bool {
	return on.Hike != 0 && v.link.Target == DayTarget(on.Hike)
}

// holdsDayWatch reports whether the viewer's link opens the watch of the hike on its day.
func (v Viewer) holdsDayWatch(on Subject) bool {
	return on.Hike != 0 && v.link.Target == DayWatchTarget(on.Hike)
}
