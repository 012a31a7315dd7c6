package web

import (
	"net/http"

	"saltbush/internal/account"
	"saltbush/web/kit"
	"saltbush/web/signups"
)

// Our judgment: more than a person mistypes in a minute, and far too few to guess a password of
// twelve characters.
const signInTries = 10

// Our judgment: it takes a few tries to see whether an alarm wakes a phone.
const wakeTries = 10

// Routes lists every page and every form target with the action that May is asked about.
func (s *Server) Routes() []Route {
	const get, post = http.MethodGet, http.MethodPost
	return []Route{
		// The public.
		{get, "/", account.SeeCalendar, s.public.ShowCalendar, 0},
		{get, "/hikes/{hike}", account.SeeNotice, s.public.ShowNotice, 0},
		{get, "/hikes/{hike}/sign-up", account.SignUp, s.signups.ShowSignUp, 0},
		{post, "/hikes/{hike}/sign-up", account.SignUp, s.signups.SignUp, signups.SignUpTries},
		{get, "/place/{secret}", account.SeePlace, s.signups.ShowPlace, 0},
		{post, "/place/{secret}/withdraw", account.WithdrawPlace, s.signups.Withdraw, 0},
		{get, "/hikes.ics", account.SeeCalendar, s.public.PublicFeed, 0},
		{get, "/place/{secret}/hike.ics", account.SeePlace, s.signups.DownloadPlaceEvent, 0},
		{get, "/place/{secret}/contact.vcf", account.SeePlace, s.signups.DownloadContactCard, 0},
		{get, "/feed/{secret}/hikes.ics", kit.SelfAuthorized, s.public.OwnFeed, 0},
		{get, "/hikes/{hike}/hike.ics", account.SeeNotice, s.public.HikeEntry, 0},
		{get, "/mail/{secret}", kit.SelfAuthorized, s.signups.ShowMailChoice, 0},
		{post, "/mail/{secret}", kit.SelfAuthorized, s.signups.ChooseMail, 0},
		{post, "/place/{secret}/ask-again", account.WithdrawPlace, s.signups.AskAgain, 0},
		{post, "/place/{secret}/take", account.WithdrawPlace, s.signups.TakePlace, 0},
		{post, "/place/{secret}/answer", account.WithdrawPlace, s.signups.AnswerBack, 0},
		{post, "/place/{secret}/contact", account.WithdrawPlace, s.signups.ReplaceContact, 0},
		{post, "/place/{secret}/cars", account.WithdrawPlace, s.signups.SetPlaceCar, 0},
		{get, "/place/{secret}/child", account.WithdrawPlace, s.signups.ShowChild, 0},
		{get, "/contact/{secret}", kit.SelfAuthorized, s.signups.ShowContact, 0},
		{post, "/contact/{secret}", kit.SelfAuthorized, s.signups.ConfirmContact, 0},
		{get, "/place/{secret}/card", account.OwnCard, s.signups.ShowCard, 0},
		{post, "/place/{secret}/card", account.OwnCard, s.signups.SaveCard, 0},
		{post, "/place/{secret}/card/remove", account.OwnCard, s.signups.RemoveCard, 0},
		{get, "/place/{secret}/data", account.OwnData, s.signups.ShowOwnData, 0},
		{get, "/place/{secret}/data.json", account.OwnData, s.signups.DownloadOwnData, 0},
		{post, "/place/{secret}/data", account.OwnData, s.signups.DeleteOwnData, 0},
		{post, "/units", account.SeeCalendar, s.ChooseUnits, 0},

		{get, "/updates/{secret}", kit.SelfAuthorized, s.hikes.ShowAnnouncement, 0},
		{post, "/updates/{secret}", kit.SelfAuthorized, s.hikes.AnswerAnnouncement, 0},

		{get, "/lost-link", account.SeeCalendar, s.signups.ShowLostLink, 0},
		{post, "/lost-link", account.SeeCalendar, s.signups.SendNewLinks, signups.LinkTries},

		// Signing in.
		{get, "/sign-in", kit.SelfAuthorized, s.accounts.ShowSignIn, 0},
		{post, "/sign-in", kit.SelfAuthorized, s.accounts.SignIn, signInTries},
		{get, "/sign-in/code", kit.SelfAuthorized, s.accounts.ShowCode, 0},
		{post, "/sign-in/code", kit.SelfAuthorized, s.accounts.TakeCode, signInTries},
		{post, "/sign-in/passkey/begin", kit.SelfAuthorized, s.accounts.AskPasskey, signInTries},
		{post, "/sign-in/passkey", kit.SelfAuthorized, s.accounts.SignInByPasskey, signInTries},
		{post, "/sign-out", kit.SelfAuthorized, s.accounts.SignOut, 0},
		{get, "/first/{secret}", kit.SelfAuthorized, s.accounts.ShowFirst, 0},
		{post, "/first", kit.SelfAuthorized, s.accounts.MakeFirst, 0},
		{get, "/invited/{secret}", kit.SelfAuthorized, s.accounts.ShowInvited, 0},
		{post, "/invited/{secret}", kit.SelfAuthorized, s.accounts.AcceptInvitation, 0},

		{get, "/lost-password", account.SeeCalendar, s.accounts.ShowLostPassword, 0},
		{post, "/lost-password", account.SeeCalendar, s.accounts.SendPasswordLink, signups.LinkTries},
		{get, "/new-password/{secret}", kit.SelfAuthorized, s.accounts.ShowNewPassword, 0},
		{post, "/new-password/{secret}", kit.SelfAuthorized, s.accounts.SetNewPassword, signInTries},

		// The viewer's own account.
		{get, "/account", account.SeeAccount, s.accounts.ShowAccount, 0},
		{post, "/account/family", account.SeeAccount, s.accounts.SetFamily, 0},
		{post, "/account/password", account.SeeAccount, s.accounts.ChangePassword, signInTries},
		{post, "/account/feeds", account.SeeAccount, s.accounts.MakeFeed, 0},
		{post, "/account/feeds/{feed}/end", account.SeeAccount, s.accounts.EndFeed, 0},
		{post, "/account/sign-ins/end-others", account.SeeAccount, s.accounts.EndOtherSignIns, 0},
		{post, "/account/sign-ins/{signin}/end", account.SeeAccount, s.accounts.EndSignIn, 0},
		{get, "/account/two-step", account.SeeAccount, s.accounts.ShowTwoStep, 0},
		{post, "/account/two-step", account.SeeAccount, s.accounts.SetUpTwoStep, signInTries},
		{post, "/account/two-step/begin", account.SeeAccount, s.accounts.BeginTwoStep, signInTries},
		{post, "/account/two-step/codes", account.SeeAccount, s.accounts.NewRecovery, signInTries},
		{post, "/account/two-step/off", account.SeeAccount, s.accounts.EndTwoStep, signInTries},
		{get, "/account/passkeys", account.SeeAccount, s.accounts.ShowPasskeys, 0},
		{post, "/account/passkeys", account.SeeAccount, s.accounts.AddPasskey, signInTries},
		{post, "/account/passkeys/begin", account.SeeAccount, s.accounts.BeginPasskey, signInTries},
		{post, "/account/passkeys/remove", account.SeeAccount, s.accounts.RemovePasskey, signInTries},

		// Trails.
		{get, "/trails", account.SeeTrail, s.trails.List, 0},
		{get, "/trails/new", account.ManageTrails, s.trails.ShowNew, 0},
		{post, "/trails", account.ManageTrails, s.trails.Add, 0},
		{get, "/trails/{trail}", account.SeeTrail, s.trails.Show, 0},
		{post, "/trails/{trail}", account.ManageTrails, s.trails.Edit, 0},
		{get, "/trails/{trail}/edit", account.ManageTrails, s.trails.ShowEdit, 0},
		{get, "/trails/{trail}/track.gpx", account.ManageTrails, s.trails.DownloadTrack, 0},
		{post, "/trails/{trail}/shape", account.ManageTrails, s.trails.ChangeShape, 0},
		{post, "/trails/{trail}/year", account.ManageTrails, s.trails.SetNormals, 0},
		{post, "/trails/{trail}/scouts", account.ManageTrails, s.trails.AddScoutReport, 0},
		{post, "/trails/{trail}/closures", account.ManageTrails, s.trails.AddClosure, 0},
		{post, "/trails/{trail}/closures/{closure}/remove", account.ManageTrails, s.trails.RemoveClosure, 0},
		{post, "/trails/{trail}/points", account.ManageTrails, s.trails.AddPoint, 0},
		{post, "/trails/{trail}/points/{point}/remove", account.ManageTrails, s.trails.RemovePoint, 0},

		// Hikes, for their staff.
		{get, "/desk", account.ScheduleHike, s.hikes.ShowDesk, 0},
		{post, "/wake", account.KeepWatch, s.watch.Subscribe, 0},
		{post, "/wake/try", account.KeepWatch, s.watch.TryWake, wakeTries},
		{post, "/wake/{browser}/remove", account.KeepWatch, s.watch.Unsubscribe, 0},
		{get, "/hikes/new", account.ScheduleHike, s.hikes.ShowNew, 0},
		{post, "/hikes", account.ScheduleHike, s.hikes.Add, 0},
		{get, "/hikes/{hike}/manage", account.ManageHike, s.hikes.Show, 0},
		{get, "/hikes/{hike}/trip-sheet", account.SeeTripSheet, s.watch.ShowTripSheet, 0},
		{get, "/hikes/{hike}/edit", account.ManageHike, s.hikes.ShowEdit, 0},
		{post, "/hikes/{hike}", account.ManageHike, s.hikes.Edit, 0},
		{post, "/hikes/{hike}/forecast", account.ManageHike, s.hikes.SetForecast, 0},
		{post, "/hikes/{hike}/post", account.ManageHike, s.hikes.Post, 0},
		{post, "/hikes/{hike}/on-call-override", account.ManageHike, s.hikes.OverrideOnCall, 0},
		{post, "/hikes/{hike}/decide", account.ManageHike, s.hikes.Decide, 0},
		{post, "/hikes/{hike}/call-off", account.ManageHike, s.hikes.CallOff, 0},
		{post, "/hikes/{hike}/stands", account.ManageHike, s.hikes.NamePersonAtTrailhead, 0},
		{post, "/hikes/{hike}/close", account.ManageHike, s.hikes.Close, 0},
		{get, "/hikes/{hike}/sign-ups.csv", account.SaveSignUps, s.signups.SaveSignUps, 0},
		{get, "/hikes/{hike}/sign-ups/import", account.ManageSignUps, s.signups.ShowImport, 0},
		{post, "/hikes/{hike}/sign-ups/import", account.ManageSignUps, s.signups.PreviewImport, 0},
		{get, "/hikes/{hike}/sign-ups/import/columns.csv", account.ManageSignUps, s.signups.DownloadColumns, 0},
		{post, "/hikes/{hike}/sign-ups/import/confirm", account.ManageSignUps, s.signups.ConfirmImport, 0},
		{post, "/hikes/{hike}/sign-ups/{person}/turn-away", account.ManageSignUps, s.hikes.TurnAway, 0},
		{get, "/hikes/{hike}/screening", account.ManageSignUps, s.signups.ShowScreening, 0},
		{post, "/hikes/{hike}/screening/{person}", account.ManageSignUps, s.signups.Screen, 0},
		{post, "/hikes/{hike}/screening/{person}/reached", account.ManageSignUps, s.signups.NoteReached, 0},
		{get, "/hikes/{hike}/screening/{person}/sheet", account.ManageSignUps, s.signups.ShowTalkSheet, 0},

		{get, "/hikes/{hike}/land-manager", account.ManageHike, s.watch.ShowLand, 0},
		{get, "/hikes/{hike}/land-manager.csv", account.ManageHike, s.watch.DownloadLand, 0},
		{get, "/hikes/{hike}/cars", account.ManageHike, s.signups.ShowCars, 0},
		{post, "/hikes/{hike}/cars/shuttle", account.ManageHike, s.signups.SetShuttle, 0},
		{post, "/hikes/{hike}/cars/tell", account.ManageHike, s.signups.AnnounceCars, 0},
		{post, "/hikes/{hike}/cars/own", account.ManageHike, s.signups.SetOwnCar, 0},

		{post, "/hikes/{hike}/day-links", account.ManageHike, s.hikes.MakeDayLink, 0},
		{post, "/hikes/{hike}/day-links/{link}/withdraw", account.ManageHike, s.hikes.WithdrawDayLink, 0},
		{get, "/day/{secret}", kit.SelfAuthorized, s.hikes.OpenDayLink, 0},

		// The roll and the board.
		{get, "/hikes/{hike}/roll", account.TakeRoll, s.roll.ShowRoll, 0},
		{post, "/hikes/{hike}/roll", account.TakeRoll, s.roll.RecordRoll, 0},
		{post, "/hikes/{hike}/roll/events", account.TakeRoll, s.roll.ReceiveEvents, 0},
		{get, "/board", account.SeeBoard, s.watch.ShowBoard, 0},
		{get, "/board/stream", account.SeeBoard, s.watch.StreamBoard, 0},
		{get, "/board/wall", account.SeeBoard, s.watch.ShowWall, 0},
		{get, "/board/today", account.SeeBoard, s.watch.ShowDay, 0},
		{post, "/board/{hike}/stand-down", account.KeepWatch, s.watch.StandDown, 0},
		{post, "/board/{hike}/acknowledge", account.KeepWatch, s.watch.Acknowledge, 0},

		// One watch, for leaders, on-call and safety, and for those whom an alarm was sent to.
		{get, "/hikes/{hike}/watch", account.SeeWatch, s.watch.ShowWatch, 0},
		{get, "/hikes/{hike}/watch/stream", account.SeeWatch, s.watch.StreamWatch, 0},
		{post, "/hikes/{hike}/watch/note", account.KeepWatch, s.watch.NoteWatch, 0},
		{post, "/hikes/{hike}/watch/pass", account.KeepWatch, s.watch.PassOn, 0},
		{post, "/hikes/{hike}/watch/back", account.KeepWatch, s.watch.ReportBack, 0},
		{get, "/hikes/{hike}/hand-over", account.SeeWatch, s.watch.ShowHandOver, 0},
		{get, "/watch/{secret}", kit.SelfAuthorized, s.watch.ShowWatch, 0},
		{get, "/watch/{secret}/stream", kit.SelfAuthorized, s.watch.StreamWatch, 0},
		{post, "/watch/{secret}/acknowledge", kit.SelfAuthorized, s.watch.Acknowledge, 0},
		{post, "/watch/{secret}/note", kit.SelfAuthorized, s.watch.NoteWatch, 0},
		{post, "/watch/{secret}/pass", kit.SelfAuthorized, s.watch.PassOn, 0},
		{post, "/watch/{secret}/back", kit.SelfAuthorized, s.watch.ReportBack, 0},
		{post, "/watch/{secret}/stand-down", kit.SelfAuthorized, s.watch.StandDown, 0},
		{get, "/watch/{secret}/hand-over", kit.SelfAuthorized, s.watch.ShowHandOver, 0},

		// Medical cards, opened with a reason.
		{get, "/hikes/{hike}/cards/{person}", account.OpenCards, s.watch.ShowCardAsk, 0},
		{post, "/hikes/{hike}/cards/{person}", account.OpenCards, s.watch.OpenCard, 0},
		{get, "/watch/{secret}/cards/{person}", kit.SelfAuthorized, s.watch.ShowCardAsk, 0},
		{post, "/watch/{secret}/cards/{person}", kit.SelfAuthorized, s.watch.OpenCard, 0},
		{get, "/cards", account.SeeOpenings, s.watch.ShowCards, 0},

		// What is kept, until when, and what was done.
		{get, "/retention", account.SeeKept, s.settings.ShowRetention, 0},
		{post, "/retention/hold", account.SeeKept, s.settings.HoldHike, 0},
		{post, "/retention/lift", account.SeeKept, s.settings.LiftHold, 0},
		{get, "/log", account.SeeKept, s.settings.ShowLog, 0},

		// Staff: answers, records and gaps.
		{get, "/mine", account.AnswerAsked, s.team.ShowMine, 0},
		{post, "/mine/answer", account.AnswerAsked, s.team.AnswerMine, 0},
		{post, "/mine/away", account.AnswerAsked, s.team.AddAway, 0},
		{post, "/mine/away/{absence}/remove", account.AnswerAsked, s.team.RemoveAway, 0},
		{get, "/asked/{secret}", kit.SelfAuthorized, s.team.ShowAsked, 0},
		{post, "/asked/{secret}", kit.SelfAuthorized, s.team.AnswerByLink, 0},
		{get, "/hikes/{hike}/staffing", account.ManageHike, s.team.ShowStaffing, 0},
		{post, "/hikes/{hike}/staffing/ask", account.ManageHike, s.team.AskStaff, 0},
		{post, "/hikes/{hike}/staffing/accept", account.ManageHike, s.team.AcceptByPhone, 0},
		{post, "/hikes/{hike}/staffing/take-off", account.ManageHike, s.team.TakeOff, 0},
		{get, "/staff", account.SeeStaffing, s.team.ShowStaff, 0},
		{get, "/staff/people", account.SeeRecords, s.team.ShowRecords, 0},
		{get, "/staff/people/{account}", account.SeeRecords, s.team.ShowRecord, 0},
		{post, "/staff/people/{account}/approvals", account.ManageRecords, s.team.AddApproval, 0},
		{post, "/staff/people/{account}/certificates", account.ManageRecords, s.team.AddCertificate, 0},
		{post, "/staff/people/{account}/observed", account.NoteObserved, s.team.AddObserved, 0},
		{get, "/staff/rules", account.SeeStaffing, s.team.ShowStaffRules, 0},
		{post, "/staff/rules/kinds", account.ManageRecords, s.team.SaveKind, 0},
		{post, "/staff/rules/kinds/remove", account.ManageRecords, s.team.RemoveKind, 0},
		{post, "/staff/rules/drives", account.ManageRecords, s.team.SaveDrive, 0},

		// The house.
		{get, "/house", account.ManageSettings, s.settings.ShowHouse, 0},
		{post, "/house", account.ManageSettings, s.settings.DescribeHouse, 0},
		{post, "/house/rules", account.ManageSettings, s.settings.SetRules, 0},
		{post, "/house/rules/{rule}/caution", account.ManageSettings, s.settings.MoreCautious, 0},
		{get, "/people", account.ManagePeople, s.accounts.ShowPeople, 0},
		{post, "/people", account.ManagePeople, s.accounts.AddPerson, 0},
		{get, "/people/{account}", account.ManagePeople, s.accounts.ShowPerson, 0},
		{post, "/people/{account}", account.ManagePeople, s.accounts.SetRoles, 0},
		{post, "/people/{account}/link", account.ManagePeople, s.accounts.MakePasswordLink, 0},
		{post, "/people/{account}/second-step-off", account.ManagePeople, s.accounts.RemoveSecondStep, signInTries},
		{get, "/people.csv", account.ManagePeople, s.accounts.SavePeople, 0},
		{get, "/people/import", account.ManagePeople, s.accounts.ShowImport, 0},
		{post, "/people/import", account.ManagePeople, s.accounts.PreviewPeople, 0},
		{get, "/people/import/columns.csv", account.ManagePeople, s.accounts.PersonHeads, 0},
		{post, "/people/import/confirm", account.ManagePeople, s.accounts.ImportPeople, 0},
		{get, "/outbox", account.SeeOutbox, s.settings.ShowOutbox, 0},
	}
}
