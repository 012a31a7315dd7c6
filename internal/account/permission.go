package account

import (
	"errors"
	"fmt"
	"slices"

	"saltbush/internal/ref"
)

// Errors of May.
var (
	ErrSignIn     = errors.New("sign in first")
	ErrNotAllowed = errors.New("not allowed")
)

// Action is something that needs permission.
type Action string

// The actions. Every handler checks one of them with May.
const (
	SeeCalendar Action = "see the calendar"
	SeeTrail    Action = "see a trail"
	SeeNotice   Action = "see the notice of a hike"
	SignUp      Action = "sign up for a hike"

	SeePlace      Action = "see a place on a hike"
	WithdrawPlace Action = "withdraw from a hike"

	// OwnCard is one's own medical card. OpenCards is asking to open another person's; package
	// card decides who may, and when. SeeOpenings is the log of openings.
	OwnCard     Action = "write one's own medical card"
	OpenCards   Action = "ask to open a medical card"
	SeeOpenings Action = "see who opened medical cards"

	// OwnData is one's own stored data, and its deletion. SeeKept is the overview of everybody's
	// data: kinds, numbers, holds and the log, never the content.
	OwnData Action = "see what is kept of oneself"
	SeeKept Action = "see and hold what is kept"

	ManageTrails Action = "manage trails"
	ScheduleHike Action = "schedule a hike"
	SeePlan      Action = "see the plan of a hike"
	SeeBoard     Action = "see the board"

	// KeepWatch is to answer alarms, to write in the log and to stand a watch down.
	SeeWatch  Action = "see the watch of a hike"
	KeepWatch Action = "keep the watch of a hike"

	ManageHike    Action = "manage a hike"
	ManageSignUps Action = "manage the sign-ups of a hike"
	SaveSignUps   Action = "save sign-ups as a file"
	SeeTripSheet  Action = "see the trip sheet of a hike"
	TakeRoll      Action = "take the roll of a hike"

	// AnswerAsked is one's own page of requests to staff hikes, and of absences.
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

// Viewer is the user of a request: anonymous, signed in, the holder of a link, or both. The
// zero value is anonymous.
type Viewer struct {
	account          Account
	link             Link
	pendingTwoFactor bool
}

// Anonymous returns a viewer without account or link.
func Anonymous() Viewer { return Viewer{} }

// SignedIn returns a viewer who has signed in to the account.
func SignedIn(a Account) Viewer { return Viewer{account: a} }

// PendingTwoFactor returns a viewer who has signed in with a password alone, while the house
// requires coordinators to set up a second step. A coordinator then has the role OnCall
// instead, so that a party on the trail is still looked after. Other roles are not affected.
func PendingTwoFactor(a Account) Viewer { return Viewer{account: a, pendingTwoFactor: true} }

// WithLink returns the viewer with an opened link, in place of an earlier one.
func (v Viewer) WithLink(l Link) Viewer {
	v.link = l
	return v
}

// Account returns the account that the viewer has signed in to, and false if there is none
// or it is inactive.
func (v Viewer) Account() (Account, bool) {
	if v.account.ID == 0 || !v.account.Active {
		return Account{}, false
	}
	return v.account, true
}

// Has reports whether the viewer has signed in to an active account with the role.
func (v Viewer) Has(r Role) bool {
	a, ok := v.Account()
	if ok && v.pendingTwoFactor && a.Has(Coordinator) {
		return r == OnCall || r != Coordinator && a.Has(r)
	}
	return ok && a.Has(r)
}

// Subject is what an action is about. Leave fields that do not apply empty; they allow
// nothing.
type Subject struct {
	Hike   ref.Hike
	Place  string // the id of the sign-up
	Posted bool   // the hike's notice is public
	Today  bool   // it is the day of the hike, and the hike is not over
	Staff  []ID   // the accounts of the hike's leader, sweep and assistants
}

// group is a set of viewers who may do an action. Coordinators are in all but placeAlone.
type group int

const (
	nobody       group = iota // unknown actions
	everyone                  // public
	ifPosted                  // public once the hike is posted; leaders before
	placeHolder               // the holder of the link to the place, and leaders who staff the hike
	leaders                   // leaders
	planReaders               // leaders and safety officers
	boardReaders              // leaders, on-call and safety officers
	watchReaders              // leaders, safety officers, on-call on the day, holders of its on-call link
	watchKeepers              // leaders, on-call, holders of its on-call link
	hikeStaff                 // leaders who staff the hike
	hikeStaffDay              // leaders who staff the hike, on the day only
	hikeDay                   // leaders who staff the hike, and holders of its day link
	hikePaper                 // hikeDay and safety officers
	members                   // everybody with an account
	trainers                  // trainers
	safety                    // safety officers
	placeAlone                // only the holder of the link to the place
	coordinators              // only coordinators
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

// May returns nil if the viewer may do the action on the subject. If not, it returns an error
// that names the action: ErrSignIn for a viewer without an account, ErrSecondStep for one with
// PendingTwoFactor, and ErrNotAllowed for any other. Unknown actions are refused to everybody.
func May(v Viewer, a Action, on Subject) error {
	g := groupOf(a)
	if g != nobody && (g != placeAlone && v.Has(Coordinator) || g.includes(v, on)) {
		return nil
	}
	if _, ok := v.Account(); !ok {
		return fmt.Errorf("%s: %w", a, ErrSignIn)
	}
	if v.pendingTwoFactor && g != nobody {
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

// watches is the part of includes about the board and the watches.
func (g group) watches(v Viewer, on Subject) bool {
	switch g {
	case planReaders:
		return v.Has(Leader) || v.Has(Safety)
	case boardReaders:
		return v.Has(Leader) || v.Has(Safety) || v.Has(OnCall)
	case watchReaders:
		return v.Has(Leader) || v.Has(Safety) || v.Has(OnCall) && on.Today || v.holdsDayWatch(on)
	case watchKeepers:
		return v.Has(Leader) || v.Has(Safety) || v.Has(OnCall) || v.holdsDayWatch(on)
	}
	return false
}

// leads reports whether the viewer is a leader who staffs the hike.
func (v Viewer) leads(on Subject) bool {
	return v.Has(Leader) && slices.Contains(on.Staff, v.account.ID)
}

// holdsPlace reports whether the viewer has the link to the sign-up.
func (v Viewer) holdsPlace(on Subject) bool {
	return on.Place != "" && v.link.Target == PlaceTarget(on.Place)
}

// holdsDay reports whether the viewer has the hike's day link for a sweep.
func (v Viewer) holdsDay(on Subject) bool {
	return on.Hike != 0 && v.link.Target == DayTarget(on.Hike)
}

// holdsDayWatch reports whether the viewer has the hike's day link for on-call.
func (v Viewer) holdsDayWatch(on Subject) bool {
	return on.Hike != 0 && v.link.Target == DayWatchTarget(on.Hike)
}
