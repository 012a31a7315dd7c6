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
		{get, "/", account.SeeCalendar, s.public.showCalendar, 0},
		{get, "/hikes/{hike}", account.SeeNotice, s.public.showNotice, 0},
		{get, "/hikes/{hike}/sign-up", account.SignUp, s.signups.showSignUp, 0},
		{post, "/hikes/{hike}/sign-up", account.SignUp, s.signups.signUp, signUpTries},
		{get, "/place/{secret}", account.SeePlace, s.signups.showPlace, 0},
		{post, "/place/{secret}/withdraw", account.WithdrawPlace, s.signups.withdraw, 0},
		{get, "/hikes.ics", account.SeeCalendar, s.public.publicFeed, 0},
		{get, "/place/{secret}/hike.ics", account.SeePlace, s.signups.placeEntry, 0},
		{get, "/place/{secret}/contact.vcf", account.SeePlace, s.signups.placeCard, 0},
		{get, "/feed/{secret}/hikes.ics", openToHolders, s.public.ownFeed, 0},
		{get, "/hikes/{hike}/hike.ics", account.SeeNotice, s.public.hikeEntry, 0},
		{get, "/mail/{secret}", openToHolders, s.signups.showMailChoice, 0},
		{post, "/mail/{secret}", openToHolders, s.signups.chooseMail, 0},
		{post, "/place/{secret}/ask-again", account.WithdrawPlace, s.signups.askAgain, 0},
		{post, "/place/{secret}/take", account.WithdrawPlace, s.signups.takePlace, 0},
		{post, "/place/{secret}/answer", account.WithdrawPlace, s.signups.answerBack, 0},
		{post, "/place/{secret}/contact", account.WithdrawPlace, s.signups.replaceContact, 0},
		{post, "/place/{secret}/cars", account.WithdrawPlace, s.signups.setPlaceCar, 0},
		{get, "/place/{secret}/child", account.WithdrawPlace, s.signups.showChild, 0},
		{get, "/contact/{secret}", openToHolders, s.signups.showContact, 0},
		{post, "/contact/{secret}", openToHolders, s.signups.confirmContact, 0},
		{get, "/place/{secret}/card", account.OwnCard, s.signups.showOwnCard, 0},
		{post, "/place/{secret}/card", account.OwnCard, s.signups.saveOwnCard, 0},
		{post, "/place/{secret}/card/remove", account.OwnCard, s.signups.removeOwnCard, 0},
		{get, "/place/{secret}/data", account.OwnData, s.signups.showOwnData, 0},
		{get, "/place/{secret}/data.json", account.OwnData, s.signups.ownDataFile, 0},
		{post, "/place/{secret}/data", account.OwnData, s.signups.deleteOwnData, 0},
		{post, "/units", account.SeeCalendar, s.chooseUnits, 0},

		{get, "/told/{secret}", openToHolders, s.hikes.showTold, 0},
		{post, "/told/{secret}", openToHolders, s.hikes.answerTold, 0},

		{get, "/lost-link", account.SeeCalendar, s.signups.showLostLink, 0},
		{post, "/lost-link", account.SeeCalendar, s.signups.sendNewLinks, linkTries},

		// Signing in.
		{get, "/sign-in", openToHolders, s.accounts.showSignIn, 0},
		{post, "/sign-in", openToHolders, s.accounts.signIn, signInTries},
		{get, "/sign-in/code", openToHolders, s.accounts.showCode, 0},
		{post, "/sign-in/code", openToHolders, s.accounts.takeCode, signInTries},
		{post, "/sign-in/passkey/begin", openToHolders, s.accounts.askPasskey, signInTries},
		{post, "/sign-in/passkey", openToHolders, s.accounts.enterByPasskey, signInTries},
		{post, "/sign-out", openToHolders, s.accounts.signOut, 0},
		{get, "/first/{secret}", openToHolders, s.accounts.showFirst, 0},
		{post, "/first", openToHolders, s.accounts.makeFirst, 0},
		{get, "/invited/{secret}", openToHolders, s.accounts.showInvited, 0},
		{post, "/invited/{secret}", openToHolders, s.accounts.acceptInvitation, 0},

		{get, "/lost-password", account.SeeCalendar, s.accounts.showLostPassword, 0},
		{post, "/lost-password", account.SeeCalendar, s.accounts.sendPasswordLink, linkTries},
		{get, "/new-password/{secret}", openToHolders, s.accounts.showNewPassword, 0},
		{post, "/new-password/{secret}", openToHolders, s.accounts.setNewPassword, signInTries},

		// One's own account.
		{get, "/account", account.SeeAccount, s.accounts.showAccount, 0},
		{post, "/account/password", account.SeeAccount, s.accounts.changePassword, signInTries},
		{post, "/account/feeds", account.SeeAccount, s.accounts.makeFeed, 0},
		{post, "/account/feeds/{feed}/end", account.SeeAccount, s.accounts.endFeed, 0},
		{post, "/account/sign-ins/end-others", account.SeeAccount, s.accounts.endOtherSignIns, 0},
		{post, "/account/sign-ins/{signin}/end", account.SeeAccount, s.accounts.endSignIn, 0},
		{get, "/account/two-step", account.SeeAccount, s.accounts.showTwoStep, 0},
		{post, "/account/two-step", account.SeeAccount, s.accounts.setUpTwoStep, signInTries},
		{post, "/account/two-step/begin", account.SeeAccount, s.accounts.beginTwoStep, signInTries},
		{post, "/account/two-step/codes", account.SeeAccount, s.accounts.newRecovery, signInTries},
		{post, "/account/two-step/off", account.SeeAccount, s.accounts.endTwoStep, signInTries},
		{get, "/account/passkeys", account.SeeAccount, s.accounts.showPasskeys, 0},
		{post, "/account/passkeys", account.SeeAccount, s.accounts.addPasskey, signInTries},
		{post, "/account/passkeys/begin", account.SeeAccount, s.accounts.beginPasskey, signInTries},
		{post, "/account/passkeys/remove", account.SeeAccount, s.accounts.removePasskey, signInTries},

		// Trails.
		{get, "/trails", account.SeeTrail, s.trails.showTrails, 0},
		{get, "/trails/new", account.ManageTrails, s.trails.showTrailForm, 0},
		{post, "/trails", account.ManageTrails, s.trails.addTrail, 0},
		{get, "/trails/{trail}", account.SeeTrail, s.trails.showTrail, 0},
		{post, "/trails/{trail}", account.ManageTrails, s.trails.editTrail, 0},
		{get, "/trails/{trail}/edit", account.ManageTrails, s.trails.showTrailEdit, 0},
		{get, "/trails/{trail}/track.gpx", account.ManageTrails, s.trails.downloadTrack, 0},
		{post, "/trails/{trail}/shape", account.ManageTrails, s.trails.changeShape, 0},
		{post, "/trails/{trail}/year", account.ManageTrails, s.trails.setNormals, 0},
		{post, "/trails/{trail}/scouts", account.ManageTrails, s.trails.addScoutReport, 0},
		{post, "/trails/{trail}/closures", account.ManageTrails, s.trails.addClosure, 0},
		{post, "/trails/{trail}/closures/{closure}/remove", account.ManageTrails, s.trails.removeClosure, 0},
		{post, "/trails/{trail}/points", account.ManageTrails, s.trails.addPoint, 0},
		{post, "/trails/{trail}/points/{point}/remove", account.ManageTrails, s.trails.removePoint, 0},

		// Hikes, for their staff.
		{get, "/desk", account.ScheduleHike, s.hikes.showDesk, 0},
		{post, "/wake", account.KeepWatch, s.watch.subscribe, 0},
		{post, "/wake/try", account.KeepWatch, s.watch.tryWake, wakeTries},
		{post, "/wake/{browser}/remove", account.KeepWatch, s.watch.unsubscribe, 0},
		{get, "/hikes/new", account.ScheduleHike, s.hikes.showHikeForm, 0},
		{post, "/hikes", account.ScheduleHike, s.hikes.addHike, 0},
		{get, "/hikes/{hike}/manage", account.ManageHike, s.hikes.showHike, 0},
		{get, "/hikes/{hike}/trip-sheet", account.SeeTripSheet, s.watch.showTripSheet, 0},
		{get, "/hikes/{hike}/edit", account.ManageHike, s.hikes.showHikeEdit, 0},
		{post, "/hikes/{hike}", account.ManageHike, s.hikes.editHike, 0},
		{post, "/hikes/{hike}/forecast", account.ManageHike, s.hikes.setForecast, 0},
		{post, "/hikes/{hike}/post", account.ManageHike, s.hikes.postHike, 0},
		{post, "/hikes/{hike}/decide", account.ManageHike, s.hikes.decide, 0},
		{post, "/hikes/{hike}/call-off", account.ManageHike, s.hikes.callOff, 0},
		{post, "/hikes/{hike}/stands", account.ManageHike, s.hikes.nameStander, 0},
		{post, "/hikes/{hike}/close", account.ManageHike, s.hikes.closeHike, 0},
		{get, "/hikes/{hike}/sign-ups.csv", account.SaveSignUps, s.signups.saveSignUps, 0},
		{get, "/hikes/{hike}/sign-ups/bring", account.ManageSignUps, s.signups.showBringSignUps, 0},
		{post, "/hikes/{hike}/sign-ups/bring", account.ManageSignUps, s.signups.previewSignUps, 0},
		{get, "/hikes/{hike}/sign-ups/bring/columns.csv", account.ManageSignUps, s.signups.signUpHeads, 0},
		{post, "/hikes/{hike}/sign-ups/bring/confirm", account.ManageSignUps, s.signups.bringSignUps, 0},
		{post, "/hikes/{hike}/sign-ups/{person}/turn-away", account.ManageSignUps, s.hikes.turnAway, 0},
		{get, "/hikes/{hike}/screening", account.ManageSignUps, s.signups.showScreening, 0},
		{post, "/hikes/{hike}/screening/{person}", account.ManageSignUps, s.signups.screen, 0},
		{post, "/hikes/{hike}/screening/{person}/reached", account.ManageSignUps, s.signups.noteReached, 0},
		{get, "/hikes/{hike}/screening/{person}/sheet", account.ManageSignUps, s.signups.showSheet, 0},

		{get, "/hikes/{hike}/land-manager", account.ManageHike, s.watch.showLand, 0},
		{get, "/hikes/{hike}/land-manager.csv", account.ManageHike, s.watch.downloadLand, 0},
		{get, "/hikes/{hike}/cars", account.ManageHike, s.signups.showCars, 0},
		{post, "/hikes/{hike}/cars/shuttle", account.ManageHike, s.signups.setShuttle, 0},
		{post, "/hikes/{hike}/cars/tell", account.ManageHike, s.signups.openCars, 0},
		{post, "/hikes/{hike}/cars/own", account.ManageHike, s.signups.setOwnCar, 0},

		{post, "/hikes/{hike}/day-links", account.ManageHike, s.hikes.makeDayLink, 0},
		{post, "/hikes/{hike}/day-links/{link}/withdraw", account.ManageHike, s.hikes.withdrawDayLink, 0},
		{get, "/day/{secret}", openToHolders, s.hikes.openDay, 0},

		// The roll and the board.
		{get, "/hikes/{hike}/roll", account.TakeRoll, s.roll.showRoll, 0},
		{post, "/hikes/{hike}/roll", account.TakeRoll, s.roll.recordRoll, 0},
		{post, "/hikes/{hike}/roll/events", account.TakeRoll, s.roll.receiveEvents, 0},
		{get, "/board", account.SeeBoard, s.watch.showBoard, 0},
		{get, "/board/stream", account.SeeBoard, s.watch.streamBoard, 0},
		{get, "/board/today", account.SeeBoard, s.watch.showDay, 0},
		{post, "/board/{hike}/stand-down", account.KeepWatch, s.watch.standDown, 0},
		{post, "/board/{hike}/acknowledge", account.KeepWatch, s.watch.acknowledge, 0},

		// One watch, for leaders, on-call and safety, and for whom an alarm was sent to.
		{get, "/hikes/{hike}/watch", account.SeeWatch, s.watch.showWatch, 0},
		{get, "/hikes/{hike}/watch/stream", account.SeeWatch, s.watch.streamWatch, 0},
		{post, "/hikes/{hike}/watch/note", account.KeepWatch, s.watch.noteWatch, 0},
		{post, "/hikes/{hike}/watch/back", account.KeepWatch, s.watch.reportBack, 0},
		{get, "/hikes/{hike}/hand-over", account.SeeWatch, s.watch.showHandOver, 0},
		{get, "/watch/{secret}", openToHolders, s.watch.showWatch, 0},
		{get, "/watch/{secret}/stream", openToHolders, s.watch.streamWatch, 0},
		{post, "/watch/{secret}/acknowledge", openToHolders, s.watch.acknowledge, 0},
		{post, "/watch/{secret}/note", openToHolders, s.watch.noteWatch, 0},
		{post, "/watch/{secret}/back", openToHolders, s.watch.reportBack, 0},
		{post, "/watch/{secret}/stand-down", openToHolders, s.watch.standDown, 0},
		{get, "/watch/{secret}/hand-over", openToHolders, s.watch.showHandOver, 0},

		// Medical cards: opened with a reason by those whom the rules of cards let.
		{get, "/hikes/{hike}/cards/{person}", account.OpenCards, s.watch.showCardAsk, 0},
		{post, "/hikes/{hike}/cards/{person}", account.OpenCards, s.watch.openCard, 0},
		{get, "/watch/{secret}/cards/{person}", openToHolders, s.watch.showCardAsk, 0},
		{post, "/watch/{secret}/cards/{person}", openToHolders, s.watch.openCard, 0},
		{get, "/cards", account.SeeOpenings, s.watch.showCards, 0},

		// What is kept, until when, and what was done.
		{get, "/kept", account.SeeKept, s.settings.showKept, 0},
		{post, "/kept/hold", account.SeeKept, s.settings.holdHike, 0},
		{post, "/kept/lift", account.SeeKept, s.settings.liftHold, 0},
		{get, "/log", account.SeeKept, s.settings.showLog, 0},

		// Staff: answers, records and gaps.
		{get, "/mine", account.AnswerAsked, s.team.showMine, 0},
		{post, "/mine/answer", account.AnswerAsked, s.team.answerMine, 0},
		{post, "/mine/away", account.AnswerAsked, s.team.addAway, 0},
		{post, "/mine/away/{absence}/remove", account.AnswerAsked, s.team.removeAway, 0},
		{get, "/asked/{secret}", openToHolders, s.team.showAsked, 0},
		{post, "/asked/{secret}", openToHolders, s.team.answerByLink, 0},
		{get, "/hikes/{hike}/staffing", account.ManageHike, s.team.showStaffing, 0},
		{post, "/hikes/{hike}/staffing/ask", account.ManageHike, s.team.askStaff, 0},
		{post, "/hikes/{hike}/staffing/accept", account.ManageHike, s.team.acceptByPhone, 0},
		{post, "/hikes/{hike}/staffing/take-off", account.ManageHike, s.team.takeOff, 0},
		{get, "/staff", account.SeeStaffing, s.team.showStaff, 0},
		{get, "/staff/people", account.SeeRecords, s.team.showRecords, 0},
		{get, "/staff/people/{account}", account.SeeRecords, s.team.showRecord, 0},
		{post, "/staff/people/{account}/standing", account.ManageRecords, s.team.addStanding, 0},
		{post, "/staff/people/{account}/certificates", account.ManageRecords, s.team.addCertificate, 0},
		{post, "/staff/people/{account}/observed", account.NoteObserved, s.team.addObserved, 0},
		{get, "/staff/rules", account.SeeStaffing, s.team.showStaffRules, 0},
		{post, "/staff/rules/kinds", account.ManageRecords, s.team.saveKind, 0},
		{post, "/staff/rules/kinds/remove", account.ManageRecords, s.team.removeKind, 0},
		{post, "/staff/rules/drives", account.ManageRecords, s.team.saveDrive, 0},

		// The house.
		{get, "/house", account.ManageSettings, s.settings.showHouse, 0},
		{post, "/house", account.ManageSettings, s.settings.describeHouse, 0},
		{post, "/house/rules", account.ManageSettings, s.settings.setRules, 0},
		{post, "/house/rules/{rule}/caution", account.ManageSettings, s.settings.moreCautious, 0},
		{get, "/people", account.ManagePeople, s.accounts.showPeople, 0},
		{post, "/people", account.ManagePeople, s.accounts.addPerson, 0},
		{get, "/people/{account}", account.ManagePeople, s.accounts.showPerson, 0},
		{post, "/people/{account}", account.ManagePeople, s.accounts.setRoles, 0},
		{post, "/people/{account}/link", account.ManagePeople, s.accounts.makePasswordLink, 0},
		{post, "/people/{account}/second-step-off", account.ManagePeople, s.accounts.takeSecondOff, signInTries},
		{get, "/people.csv", account.ManagePeople, s.accounts.savePeople, 0},
		{get, "/people/bring", account.ManagePeople, s.accounts.showBringPeople, 0},
		{post, "/people/bring", account.ManagePeople, s.accounts.previewPeople, 0},
		{get, "/people/bring/columns.csv", account.ManagePeople, s.accounts.personHeads, 0},
		{post, "/people/bring/confirm", account.ManagePeople, s.accounts.bringPeople, 0},
		{get, "/outbox", account.SeeOutbox, s.settings.showOutbox, 0},
	}
	if s.Demo {
		list = append(list,
			Route{get, "/_pages", account.SeeCalendar, s.showPages, 0},
			Route{get, "/_pages/{name}", account.SeeCalendar, s.showStatePage, 0},
		)
	}
	return list
}
