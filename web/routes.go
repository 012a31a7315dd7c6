package web

import (
	"net/http"

	"saltbush/internal/account"
)

// House judgement: more than a person mistypes in a minute, and far too few to guess a
// password of twelve signs.
const signInTries = 10

// House judgement: trying whether a phone wakes takes a few presses.
const wakeTries = 10

// Routes is every page and every form target, with the action that May is asked about.
func (s *Server) Routes() []Route {
	const get, post = http.MethodGet, http.MethodPost
	list := []Route{
		// The public.
		{get, "/", account.SeeCalendar, s.showCalendar, 0},
		{get, "/hikes/{hike}", account.SeeNotice, s.showNotice, 0},
		{get, "/hikes/{hike}/sign-up", account.SignUp, s.showSignUp, 0},
		{post, "/hikes/{hike}/sign-up", account.SignUp, s.signUp, signUpTries},
		{get, "/place/{secret}", account.SeePlace, s.showPlace, 0},
		{post, "/place/{secret}/withdraw", account.WithdrawPlace, s.withdraw, 0},
		{get, "/hikes.ics", account.SeeCalendar, s.publicFeed, 0},
		{get, "/place/{secret}/hike.ics", account.SeePlace, s.placeEntry, 0},
		{get, "/place/{secret}/contact.vcf", account.SeePlace, s.placeCard, 0},
		{get, "/feed/{secret}/hikes.ics", openToHolders, s.ownFeed, 0},
		{post, "/mine/feed", account.AnswerAsked, s.makeFeed, 0},
		{post, "/mine/feed/end", account.AnswerAsked, s.endFeed, 0},
		{post, "/place/{secret}/ask-again", account.WithdrawPlace, s.askAgain, 0},
		{post, "/place/{secret}/take", account.WithdrawPlace, s.takePlace, 0},
		{post, "/place/{secret}/answer", account.WithdrawPlace, s.answerBack, 0},
		{post, "/place/{secret}/contact", account.WithdrawPlace, s.replaceContact, 0},
		{get, "/place/{secret}/child", account.WithdrawPlace, s.showChild, 0},
		{get, "/contact/{secret}", openToHolders, s.showContact, 0},
		{post, "/contact/{secret}", openToHolders, s.confirmContact, 0},
		{get, "/place/{secret}/card", account.OwnCard, s.showOwnCard, 0},
		{post, "/place/{secret}/card", account.OwnCard, s.saveOwnCard, 0},
		{post, "/place/{secret}/card/remove", account.OwnCard, s.removeOwnCard, 0},
		{post, "/units", account.SeeCalendar, s.chooseUnits, 0},

		{get, "/told/{secret}", openToHolders, s.showTold, 0},
		{post, "/told/{secret}", openToHolders, s.answerTold, 0},

		{get, "/lost-link", account.SeeCalendar, s.showLostLink, 0},
		{post, "/lost-link", account.SeeCalendar, s.sendNewLinks, linkTries},

		// Signing in.
		{get, "/sign-in", openToHolders, s.showSignIn, 0},
		{post, "/sign-in", openToHolders, s.signIn, signInTries},
		{get, "/sign-in/code", openToHolders, s.showCode, 0},
		{post, "/sign-in/code", openToHolders, s.takeCode, signInTries},
		{post, "/sign-in/passkey/begin", openToHolders, s.askPasskey, signInTries},
		{post, "/sign-in/passkey", openToHolders, s.enterByPasskey, signInTries},
		{post, "/sign-out", openToHolders, s.signOut, 0},
		{get, "/first/{secret}", openToHolders, s.showFirst, 0},
		{post, "/first", openToHolders, s.makeFirst, 0},
		{get, "/invited/{secret}", openToHolders, s.showInvited, 0},
		{post, "/invited/{secret}", openToHolders, s.acceptInvitation, 0},

		// One's own account.
		{get, "/account", account.SeeAccount, s.showAccount, 0},
		{post, "/account/password", account.SeeAccount, s.changePassword, signInTries},
		{post, "/account/sign-ins/end-others", account.SeeAccount, s.endOtherSignIns, 0},
		{post, "/account/sign-ins/{signin}/end", account.SeeAccount, s.endSignIn, 0},
		{get, "/account/two-step", account.SeeAccount, s.showTwoStep, 0},
		{post, "/account/two-step", account.SeeAccount, s.setUpTwoStep, signInTries},
		{post, "/account/two-step/begin", account.SeeAccount, s.beginTwoStep, signInTries},
		{post, "/account/two-step/codes", account.SeeAccount, s.newRecovery, signInTries},
		{post, "/account/two-step/off", account.SeeAccount, s.endTwoStep, signInTries},
		{get, "/account/passkeys", account.SeeAccount, s.showPasskeys, 0},
		{post, "/account/passkeys", account.SeeAccount, s.addPasskey, signInTries},
		{post, "/account/passkeys/begin", account.SeeAccount, s.beginPasskey, signInTries},
		{post, "/account/passkeys/remove", account.SeeAccount, s.removePasskey, signInTries},

		// Trails.
		{get, "/trails", account.SeeTrail, s.showTrails, 0},
		{get, "/trails/new", account.ManageTrails, s.showTrailForm, 0},
		{post, "/trails", account.ManageTrails, s.addTrail, 0},
		{get, "/trails/{trail}", account.SeeTrail, s.showTrail, 0},
		{post, "/trails/{trail}", account.ManageTrails, s.editTrail, 0},
		{get, "/trails/{trail}/edit", account.ManageTrails, s.showTrailEdit, 0},
		{get, "/trails/{trail}/track.gpx", account.ManageTrails, s.downloadTrack, 0},
		{post, "/trails/{trail}/shape", account.ManageTrails, s.changeShape, 0},
		{post, "/trails/{trail}/year", account.ManageTrails, s.setNormals, 0},
		{post, "/trails/{trail}/scouts", account.ManageTrails, s.addScoutReport, 0},
		{post, "/trails/{trail}/closures", account.ManageTrails, s.addClosure, 0},
		{post, "/trails/{trail}/closures/{closure}/remove", account.ManageTrails, s.removeClosure, 0},
		{post, "/trails/{trail}/points", account.ManageTrails, s.addPoint, 0},
		{post, "/trails/{trail}/points/{point}/remove", account.ManageTrails, s.removePoint, 0},

		// Hikes, for their staff.
		{get, "/desk", account.ScheduleHike, s.showDesk, 0},
		{post, "/wake", account.KeepWatch, s.subscribe, 0},
		{post, "/wake/try", account.KeepWatch, s.tryWake, wakeTries},
		{post, "/wake/{browser}/remove", account.KeepWatch, s.unsubscribe, 0},
		{get, "/hikes/new", account.ScheduleHike, s.showHikeForm, 0},
		{post, "/hikes", account.ScheduleHike, s.addHike, 0},
		{get, "/hikes/{hike}/manage", account.ManageHike, s.showHike, 0},
		{get, "/hikes/{hike}/trip-sheet", account.SeeTripSheet, s.showTripSheet, 0},
		{get, "/hikes/{hike}/edit", account.ManageHike, s.showHikeEdit, 0},
		{post, "/hikes/{hike}", account.ManageHike, s.editHike, 0},
		{post, "/hikes/{hike}/forecast", account.ManageHike, s.setForecast, 0},
		{post, "/hikes/{hike}/post", account.ManageHike, s.postHike, 0},
		{post, "/hikes/{hike}/decide", account.ManageHike, s.decide, 0},
		{post, "/hikes/{hike}/call-off", account.ManageHike, s.callOff, 0},
		{post, "/hikes/{hike}/stands", account.ManageHike, s.nameStander, 0},
		{post, "/hikes/{hike}/close", account.ManageHike, s.closeHike, 0},
		{post, "/hikes/{hike}/sign-ups/{person}/turn-away", account.ManageSignUps, s.turnAway, 0},
		{get, "/hikes/{hike}/screening", account.ManageSignUps, s.showScreening, 0},
		{post, "/hikes/{hike}/screening/{person}", account.ManageSignUps, s.screen, 0},
		{post, "/hikes/{hike}/screening/{person}/reached", account.ManageSignUps, s.noteReached, 0},
		{get, "/hikes/{hike}/screening/{person}/sheet", account.ManageSignUps, s.showSheet, 0},

		{get, "/hikes/{hike}/land-manager", account.ManageHike, s.showLand, 0},
		{get, "/hikes/{hike}/land-manager.csv", account.ManageHike, s.downloadLand, 0},

		{post, "/hikes/{hike}/day-links", account.ManageHike, s.makeDayLink, 0},
		{post, "/hikes/{hike}/day-links/{link}/withdraw", account.ManageHike, s.withdrawDayLink, 0},
		{get, "/day/{secret}", openToHolders, s.openDay, 0},

		// The roll and the board.
		{get, "/hikes/{hike}/roll", account.TakeRoll, s.showRoll, 0},
		{post, "/hikes/{hike}/roll", account.TakeRoll, s.recordRoll, 0},
		{post, "/hikes/{hike}/roll/events", account.TakeRoll, s.receiveEvents, 0},
		{get, "/board", account.SeeBoard, s.showBoard, 0},
		{get, "/board/stream", account.SeeBoard, s.streamBoard, 0},
		{get, "/board/today", account.SeeBoard, s.showDay, 0},
		{post, "/board/{hike}/stand-down", account.KeepWatch, s.standDown, 0},
		{post, "/board/{hike}/acknowledge", account.KeepWatch, s.acknowledge, 0},

		// One watch, for leaders, on-call and safety, and for whom an alarm was sent to.
		{get, "/hikes/{hike}/watch", account.SeeWatch, s.showWatch, 0},
		{get, "/hikes/{hike}/watch/stream", account.SeeWatch, s.streamWatch, 0},
		{post, "/hikes/{hike}/watch/note", account.KeepWatch, s.noteWatch, 0},
		{post, "/hikes/{hike}/watch/back", account.KeepWatch, s.reportBack, 0},
		{get, "/hikes/{hike}/hand-over", account.SeeWatch, s.showHandOver, 0},
		{get, "/watch/{secret}", openToHolders, s.showWatch, 0},
		{get, "/watch/{secret}/stream", openToHolders, s.streamWatch, 0},
		{post, "/watch/{secret}/acknowledge", openToHolders, s.acknowledge, 0},
		{post, "/watch/{secret}/note", openToHolders, s.noteWatch, 0},
		{post, "/watch/{secret}/back", openToHolders, s.reportBack, 0},
		{post, "/watch/{secret}/stand-down", openToHolders, s.standDown, 0},
		{get, "/watch/{secret}/hand-over", openToHolders, s.showHandOver, 0},

		// Medical cards: opened with a reason by those whom the rules of cards let.
		{get, "/hikes/{hike}/cards/{person}", account.OpenCards, s.showCardAsk, 0},
		{post, "/hikes/{hike}/cards/{person}", account.OpenCards, s.openCard, 0},
		{get, "/watch/{secret}/cards/{person}", openToHolders, s.showCardAsk, 0},
		{post, "/watch/{secret}/cards/{person}", openToHolders, s.openCard, 0},
		{get, "/cards", account.SeeOpenings, s.showCards, 0},

		// Staff: answers, records and gaps.
		{get, "/mine", account.AnswerAsked, s.showMine, 0},
		{post, "/mine/answer", account.AnswerAsked, s.answerMine, 0},
		{post, "/mine/away", account.AnswerAsked, s.addAway, 0},
		{post, "/mine/away/{absence}/remove", account.AnswerAsked, s.removeAway, 0},
		{get, "/asked/{secret}", openToHolders, s.showAsked, 0},
		{post, "/asked/{secret}", openToHolders, s.answerByLink, 0},
		{get, "/hikes/{hike}/staffing", account.ManageHike, s.showStaffing, 0},
		{post, "/hikes/{hike}/staffing/ask", account.ManageHike, s.askStaff, 0},
		{post, "/hikes/{hike}/staffing/accept", account.ManageHike, s.acceptByPhone, 0},
		{post, "/hikes/{hike}/staffing/take-off", account.ManageHike, s.takeOff, 0},
		{get, "/staff", account.SeeStaffing, s.showStaff, 0},
		{get, "/staff/people", account.SeeRecords, s.showRecords, 0},
		{get, "/staff/people/{account}", account.SeeRecords, s.showRecord, 0},
		{post, "/staff/people/{account}/standing", account.ManageRecords, s.addStanding, 0},
		{post, "/staff/people/{account}/certificates", account.ManageRecords, s.addCertificate, 0},
		{post, "/staff/people/{account}/observed", account.NoteObserved, s.addObserved, 0},
		{get, "/staff/rules", account.SeeStaffing, s.showStaffRules, 0},
		{post, "/staff/rules/kinds", account.ManageRecords, s.saveKind, 0},
		{post, "/staff/rules/kinds/remove", account.ManageRecords, s.removeKind, 0},
		{post, "/staff/rules/drives", account.ManageRecords, s.saveDrive, 0},

		// The house.
		{get, "/house", account.ManageSettings, s.showHouse, 0},
		{post, "/house", account.ManageSettings, s.describeHouse, 0},
		{post, "/house/rules", account.ManageSettings, s.setRules, 0},
		{post, "/house/rules/{rule}/caution", account.ManageSettings, s.moreCautious, 0},
		{get, "/people", account.ManagePeople, s.showPeople, 0},
		{post, "/people", account.ManagePeople, s.addPerson, 0},
		{get, "/outbox", account.SeeOutbox, s.showOutbox, 0},
	}
	if s.Demo {
		list = append(list,
			Route{get, "/_pages", account.SeeCalendar, s.showPages, 0},
			Route{get, "/_pages/{name}", account.SeeCalendar, s.showStatePage, 0},
		)
	}
	return list
}
