package web_test

import "saltbush/internal/site/sitetest"

// mustShow says of whom a page shows which fields, at the stages named by their letters, to
// everybody whom the table of privacy lets see that kind of data then.
type mustShow struct {
	stages string
	of     []string
	what   []string
}

// always is every stage.
const always = "beoax"

// own stands for the person whose private link the reader has.
const own = "own"

// Groups of the planted people.
var (
	grown    = []string{sitetest.Grown}
	signedUp = []string{sitetest.Grown, sitetest.Child, sitetest.Asked, sitetest.Turned}
	placed   = []string{sitetest.Grown, sitetest.Child}
	out      = []string{sitetest.Grown, sitetest.Child, sitetest.Walkup}
	itself   = []string{own}
)

// The watch and the hand-over sheet say the same to who signs in and to who comes by a link.
func watchShows() []mustShow {
	return []mustShow{
		{"oa", out, []string{"name", "mobile", "contact's phone"}},
		{"oa", placed, []string{"contact's name"}},
	}
}

func handOverShows() []mustShow {
	return []mustShow{
		{"oa", out, []string{"name", "contact's phone"}},
		{"oa", placed, []string{"contact's name", "guardian's phone", "action line", "plate", "longest walk"}},
	}
}

// shownBy is every page of the site that can be got, with what it is there to show of the
// people of a hike. A page that shows nothing of them is listed too.
func shownBy() map[string][]mustShow {
	all := map[string][]mustShow{}
	for _, pages := range []map[string][]mustShow{pagesOfNobody(), pagesOfPersons(), pagesOfStaff(), pagesOfTheDay()} {
		for pattern, shows := range pages {
			all[pattern] = shows
		}
	}
	return all
}

func pagesOfNobody() map[string][]mustShow {
	return map[string][]mustShow{
		"/":                        nil,
		"/hikes/{hike}":            nil,
		"/hikes/{hike}/sign-up":    nil,
		"/hikes/{hike}/hike.ics":   nil,
		"/hikes.ics":               nil,
		"/feed/{secret}/hikes.ics": nil,
		"/lost-link":               nil,
		"/lost-password":           nil,
		"/mail/{secret}":           nil,

		"/sign-in":               nil,
		"/sign-in/code":          nil,
		"/first/{secret}":        nil,
		"/invited/{secret}":      nil,
		"/new-password/{secret}": nil,
		"/account":               nil,
		"/account/two-step":      nil,
		"/account/passkeys":      nil,

		"/trails":                   nil,
		"/trails/new":               nil,
		"/trails/{trail}":           nil,
		"/trails/{trail}/edit":      nil,
		"/trails/{trail}/track.gpx": nil,

		"/mine":                      nil,
		"/asked/{secret}":            nil,
		"/staff":                     nil,
		"/staff/people":              nil,
		"/staff/people/{account}":    nil,
		"/staff/rules":               nil,
		"/house":                     nil,
		"/people":                    nil,
		"/people/{account}":          nil,
		"/people.csv":                nil,
		"/people/import":             nil,
		"/people/import/columns.csv": nil,
		"/retention":                 nil,
		"/log":                       nil,
	}
}

// pagesOfPersons are read by a private link.
func pagesOfPersons() map[string][]mustShow {
	return map[string][]mustShow{
		"/place/{secret}": {
			{always, itself, []string{"name"}},
			{always, []string{sitetest.Grown, sitetest.Asked}, []string{"contact's name", "contact's phone"}},
		},
		"/place/{secret}/child": {{always, itself, []string{"name", "email", "mobile", "contact's phone"}}},
		"/place/{secret}/card": {
			{always, grown, []string{"name"}},
			{"beoa", grown, []string{"action line", "conditions on the card", "medicines on the card"}},
		},
		"/place/{secret}/hike.ics":    nil,
		"/place/{secret}/contact.vcf": nil,
		"/place/{secret}/data":        {{always, itself, []string{"name", "email", "mobile"}}},
		"/place/{secret}/data.json":   {{always, itself, []string{"name", "email", "mobile"}}},
		"/contact/{secret}":           {{"ba", grown, []string{"name"}}},
		"/updates/{secret}":           {{"eoa", itself, []string{"name"}}},
	}
}

// pagesOfStaff are those on which a hike is prepared.
func pagesOfStaff() map[string][]mustShow {
	return map[string][]mustShow{
		"/desk":                  nil,
		"/hikes/new":             nil,
		"/hikes/{hike}/edit":     nil,
		"/hikes/{hike}/staffing": nil,
		"/hikes/{hike}/manage": {{always, signedUp, []string{
			"name", "mobile", "email", "contact's name", "contact's phone", "guardian", "longest walk",
		}}},
		"/hikes/{hike}/screening": {{always, signedUp, []string{
			"name", "mobile", "guardian's phone", "longest walk", "where from", "shoes", "reason for a talk",
			"outcome's reason", "answer",
		}}},
		"/hikes/{hike}/screening/{person}/sheet": {{always, grown, []string{
			"name", "longest walk", "where from", "shoes",
		}}},
		"/hikes/{hike}/cars": {
			{always, placed, []string{"name"}},
			{"eo", grown, []string{"plate", "mobile"}},
		},
		"/hikes/{hike}/trip-sheet": {{always, placed, []string{"name", "contact's name", "contact's phone", "plate"}}},
		"/hikes/{hike}/sign-ups.csv": {{always, []string{sitetest.Grown, sitetest.Child, sitetest.Asked}, []string{
			"name", "mobile", "email", "contact's name", "contact's phone", "guardian", "guardian's phone", "plate",
		}}},
		"/hikes/{hike}/sign-ups/import":             nil,
		"/hikes/{hike}/sign-ups/import/columns.csv": nil,
		"/outbox": {{"eo", placed, []string{"email"}}},
	}
}

// pagesOfTheDay are those of the roll, the watch and the cards.
func pagesOfTheDay() map[string][]mustShow {
	return map[string][]mustShow{
		"/day/{secret}": nil,
		"/hikes/{hike}/roll": {
			{always, placed, []string{"name", "action line", "guardian", "guardian's phone", "plate", "shoes"}},
			{"oax", []string{sitetest.Walkup}, []string{"name"}},
		},
		"/hikes/{hike}/land-manager":     {{"a", grown, []string{"plate"}}},
		"/hikes/{hike}/land-manager.csv": {{"a", grown, []string{"plate"}}},

		"/board":        nil,
		"/board/stream": nil,
		"/board/wall":   nil,
		"/board/today": {{"oax", []string{sitetest.Walkup}, []string{
			"name", "mobile", "contact's phone",
		}}},
		"/hikes/{hike}/watch":        watchShows(),
		"/hikes/{hike}/watch/stream": watchShows(),
		"/hikes/{hike}/hand-over":    handOverShows(),
		"/watch/{secret}":            watchShows(),
		"/watch/{secret}/stream":     watchShows(),
		"/watch/{secret}/hand-over":  handOverShows(),

		"/hikes/{hike}/cards/{person}":   {{"oa", grown, []string{"name", "action line"}}},
		"/watch/{secret}/cards/{person}": {{"a", grown, []string{"name", "action line"}}},
		"/cards":                         nil,
	}
}
