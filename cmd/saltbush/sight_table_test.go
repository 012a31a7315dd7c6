package main

// mustShow says of whom a page shows which fields, at the stages of the walk named by their
// letters, to everybody whom the table lets see that kind of data then.
type mustShow struct {
	stages string
	of     []string
	what   []string
}

var (
	signedUp = []string{grown, child, asked, turned}
	placed   = []string{grown, child}
	out      = []string{grown, child, walkup}
)

// The hand-over sheet and the watch say the same to whoever signs in and to whoever comes by
// a link.
func watchShows() []mustShow {
	return []mustShow{{"oa", out, []string{"name", "mobile", "contact's phone"}}, {"oa", placed, []string{"contact's name"}}}
}

func handOverShows() []mustShow {
	return []mustShow{{"oa", out, []string{"name", "contact's phone"}}, {"oa", placed, []string{"contact's name", "guardian's phone", "action line", "plate", "longest walk"}}}
}

// walkTable is every page of the site that can be got, with what it is there to show of the
// people of a hike. A page that shows nothing of them stands here too.
func walkTable() map[string][]mustShow {
	const always, own = "beoax", "own"
	return map[string][]mustShow{
		"/": nil, "/hikes/{hike}": nil, "/hikes/{hike}/sign-up": nil, "/lost-link": nil, "/sign-in": nil,
		"/first/{secret}": nil, "/invited/{secret}": nil, "/account": nil, "/account/two-step": nil, "/account/passkeys": nil, "/sign-in/code": nil,
		"/lost-password": nil, "/new-password/{secret}": nil,

		"/place/{secret}":          {{always, []string{own}, []string{"name"}}, {always, []string{grown, asked}, []string{"contact's name", "contact's phone"}}},
		"/place/{secret}/child":    {{always, []string{own}, []string{"name", "email", "mobile", "contact's phone"}}},
		"/place/{secret}/card":     {{always, []string{grown}, []string{"name"}}, {"beoa", []string{grown}, []string{"action line", "conditions on the card", "medicines on the card"}}},
		"/place/{secret}/hike.ics": nil, "/place/{secret}/contact.vcf": nil, "/hikes.ics": nil, "/feed/{secret}/hikes.ics": nil,
		"/mail/{secret}": nil, "/hikes/{hike}/hike.ics": nil,
		"/contact/{secret}": {{"ba", []string{grown}, []string{"name"}}},
		"/updates/{secret}": {{"eoa", []string{own}, []string{"name"}}},

		"/trails": nil, "/trails/new": nil, "/trails/{trail}": nil, "/trails/{trail}/edit": nil, "/trails/{trail}/track.gpx": nil,

		"/desk": nil, "/hikes/new": nil, "/hikes/{hike}/edit": nil, "/hikes/{hike}/staffing": nil,
		"/hikes/{hike}/manage":                      {{always, signedUp, []string{"name", "mobile", "email", "contact's name", "contact's phone", "guardian", "longest walk"}}},
		"/hikes/{hike}/screening":                   {{always, signedUp, []string{"name", "mobile", "guardian's phone", "longest walk", "where from", "shoes", "reason for a talk", "outcome's reason", "answer"}}},
		"/hikes/{hike}/screening/{person}/sheet":    {{always, []string{grown}, []string{"name", "longest walk", "where from", "shoes"}}},
		"/hikes/{hike}/cars":                        {{always, placed, []string{"name"}}, {"eo", []string{grown}, []string{"plate", "mobile"}}},
		"/hikes/{hike}/trip-sheet":                  {{always, placed, []string{"name", "contact's name", "contact's phone", "plate"}}},
		"/day/{secret}":                             nil,
		"/hikes/{hike}/land-manager":                {{"a", []string{grown}, []string{"plate"}}},
		"/hikes/{hike}/land-manager.csv":            {{"a", []string{grown}, []string{"plate"}}},
		"/hikes/{hike}/sign-ups.csv":                {{always, []string{grown, child, asked}, []string{"name", "mobile", "email", "contact's name", "contact's phone", "guardian", "guardian's phone", "plate"}}},
		"/hikes/{hike}/sign-ups/import":             nil,
		"/hikes/{hike}/sign-ups/import/columns.csv": nil,

		"/hikes/{hike}/roll": {{always, placed, []string{"name", "action line", "guardian", "guardian's phone", "plate"}}, {"oax", []string{walkup}, []string{"name"}}},

		"/hikes/{hike}/cards/{person}":   {{"oa", []string{grown}, []string{"name", "action line"}}},
		"/watch/{secret}/cards/{person}": {{"a", []string{grown}, []string{"name", "action line"}}},
		"/cards":                         nil,

		"/retention": nil, "/log": nil,
		"/place/{secret}/data":      {{always, []string{own}, []string{"name", "email", "mobile"}}},
		"/place/{secret}/data.json": {{always, []string{own}, []string{"name", "email", "mobile"}}},

		"/board": nil, "/board/stream": nil,
		"/board/today":               {{"oax", []string{walkup}, []string{"name", "mobile", "contact's phone"}}},
		"/hikes/{hike}/watch":        watchShows(),
		"/hikes/{hike}/watch/stream": watchShows(),
		"/hikes/{hike}/hand-over":    handOverShows(),
		"/watch/{secret}":            watchShows(),
		"/watch/{secret}/stream":     watchShows(),
		"/watch/{secret}/hand-over":  handOverShows(),

		"/mine": nil, "/asked/{secret}": nil, "/staff": nil, "/staff/people": nil, "/staff/people/{account}": nil, "/staff/rules": nil,

		"/house": nil, "/people": nil, "/people/{account}": nil, "/people.csv": nil, "/people/import": nil, "/people/import/columns.csv": nil, "/outbox": {{"eo", placed, []string{"email"}}},
	}
}
