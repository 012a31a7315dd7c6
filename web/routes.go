package web

import (
	"net/http"

	"saltbush/internal/account"
)

// Routes is every page and every form target, with the action that May is asked about.
func (s *Server) Routes() []Route {
	const get, post = http.MethodGet, http.MethodPost
	list := []Route{
		// The public.
		{get, "/", account.SeeCalendar, s.showCalendar},
		{get, "/hikes/{hike}", account.SeeNotice, s.showNotice},
		{get, "/hikes/{hike}/sign-up", account.SignUp, s.showSignUp},
		{post, "/hikes/{hike}/sign-up", account.SignUp, s.signUp},
		{get, "/place/{secret}", account.SeePlace, s.showPlace},
		{post, "/place/{secret}/withdraw", account.WithdrawPlace, s.withdraw},
		{post, "/place/{secret}/ask-again", account.WithdrawPlace, s.askAgain},
		{post, "/units", account.SeeCalendar, s.chooseUnits},

		// Signing in.
		{get, "/sign-in", openToHolders, s.showSignIn},
		{post, "/sign-in", openToHolders, s.signIn},
		{post, "/sign-out", openToHolders, s.signOut},
		{get, "/first/{secret}", openToHolders, s.showFirst},
		{post, "/first", openToHolders, s.makeFirst},
		{get, "/invited/{secret}", openToHolders, s.showInvited},
		{post, "/invited/{secret}", openToHolders, s.acceptInvitation},

		// Trails.
		{get, "/trails", account.SeeTrail, s.showTrails},
		{get, "/trails/new", account.ManageTrails, s.showTrailForm},
		{post, "/trails", account.ManageTrails, s.addTrail},
		{get, "/trails/{trail}", account.SeeTrail, s.showTrail},
		{post, "/trails/{trail}", account.ManageTrails, s.editTrail},
		{get, "/trails/{trail}/edit", account.ManageTrails, s.showTrailEdit},
		{get, "/trails/{trail}/track.gpx", account.ManageTrails, s.downloadTrack},
		{post, "/trails/{trail}/shape", account.ManageTrails, s.changeShape},
		{post, "/trails/{trail}/points", account.ManageTrails, s.addPoint},
		{post, "/trails/{trail}/points/{point}/remove", account.ManageTrails, s.removePoint},

		// Hikes, for their staff.
		{get, "/desk", account.ScheduleHike, s.showDesk},
		{get, "/hikes/new", account.ScheduleHike, s.showHikeForm},
		{post, "/hikes", account.ScheduleHike, s.addHike},
		{get, "/hikes/{hike}/manage", account.ManageHike, s.showHike},
		{get, "/hikes/{hike}/edit", account.ManageHike, s.showHikeEdit},
		{post, "/hikes/{hike}", account.ManageHike, s.editHike},
		{post, "/hikes/{hike}/forecast", account.ManageHike, s.setForecast},
		{post, "/hikes/{hike}/post", account.ManageHike, s.postHike},
		{post, "/hikes/{hike}/decide", account.ManageHike, s.decide},
		{post, "/hikes/{hike}/call-off", account.ManageHike, s.callOff},
		{post, "/hikes/{hike}/close", account.ManageHike, s.closeHike},
		{post, "/hikes/{hike}/sign-ups/{person}/turn-away", account.ManageSignUps, s.turnAway},

		// The roll and the board.
		{get, "/hikes/{hike}/roll", account.TakeRoll, s.showRoll},
		{post, "/hikes/{hike}/roll", account.TakeRoll, s.recordRoll},
		{post, "/hikes/{hike}/roll/events", account.TakeRoll, s.receiveEvents},
		{get, "/board", account.SeeBoard, s.showBoard},
		{get, "/board/stream", account.SeeBoard, s.streamBoard},
		{post, "/board/{hike}/stand-down", account.SeeBoard, s.standDown},
		{post, "/board/{hike}/acknowledge", account.SeeBoard, s.acknowledge},

		// One watch, for every leader, and for whom an alarm was sent to.
		{get, "/hikes/{hike}/watch", account.SeeBoard, s.showWatch},
		{post, "/hikes/{hike}/watch/note", account.SeeBoard, s.noteWatch},
		{get, "/hikes/{hike}/hand-over", account.SeeBoard, s.showHandOver},
		{get, "/watch/{secret}", openToHolders, s.showWatch},
		{post, "/watch/{secret}/acknowledge", openToHolders, s.acknowledge},
		{post, "/watch/{secret}/note", openToHolders, s.noteWatch},
		{get, "/watch/{secret}/hand-over", openToHolders, s.showHandOver},

		// The house.
		{get, "/people", account.ManagePeople, s.showPeople},
		{post, "/people", account.ManagePeople, s.addPerson},
		{get, "/outbox", account.SeeOutbox, s.showOutbox},
	}
	if s.Demo {
		list = append(list,
			Route{get, "/_pages", account.SeeCalendar, s.showPages},
			Route{get, "/_pages/{name}", account.SeeCalendar, s.showStatePage},
		)
	}
	return list
}
