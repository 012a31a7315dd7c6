package sample

import (
	"fmt"
	"strings"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
)

// password is the password of every account of the demo. The demo prints it.
const password = "dry-wash-lantern"

// Indexes of accounts in crew.
const (
	outLeader  = 0  // leads the hike that is out now
	lateLeader = 1  // leads the late one
	leaders    = 12 // the number of leaders
	both       = 12 // leads and coordinates
	desk       = 13 // coordinates
)

// crew returns the accounts: twelve leaders, one leader who also coordinates, one coordinator.
func crew() []account.Account {
	names := []string{
		"Ximena Halvorsen", "Dawit Marchetti", "Leilani Oduya", "Rasheed Kowalczyk", "Hana Brightwater",
		"Cornelius Vang",
		"Sunita Aldersey", "Mateo Lindqvist", "Beatrix Nguyen-Ford", "Ofa Castellanos", "Yusuf Pemberton",
		"Greta Amarillas",
		"Tobias Adeyinka", "Odalys Brandtner",
	}
	list := make([]account.Account, len(names))
	for i, name := range names {
		list[i] = account.Account{Name: name, Email: address(name), Phone: phone(928, i),
			Roles:  []account.Role{account.Leader},
			Active: true, Units: account.US}
	}
	list[both].Roles = []account.Role{account.Leader, account.Coordinator}
	list[desk].Roles = []account.Role{account.Coordinator}
	list[lateLeader].Units = account.Metric
	return list
}

// signIns returns the accounts that a visitor may use.
func signIns() []SignIn {
	all := crew()
	return []SignIn{
		{As: "coordinator", Email: all[desk].Email, Password: password},
		{As: "leader", Email: all[outLeader].Email, Password: password},
		{As: "leader", Email: all[lateLeader].Email, Password: password},
		{As: "trainer", Email: others()[trainer].Email, Password: password},
		{As: "on-call", Email: others()[onCall].Email, Password: password},
		{As: "safety officer", Email: others()[safety].Email, Password: password},
	}
}

func address(name string) string {
	return strings.ToLower(strings.ReplaceAll(name, " ", ".")) + "@example.org"
}

// phone returns a number that nobody has: 555-0100 to 555-0199 are reserved for fiction in
// every area (North American Numbering Plan, 555 line number assignment guidelines).
func phone(area, n int) string { return fmt.Sprintf("%d-555-01%02d", area, n%100) }

// walker is somebody who signs up.
type walker struct {
	name, email, mobile   string
	contact, contactPhone string
	longest               string
	hot                   int
	water                 unit.Volume
	minor                 bool
	guardian              string
	car                   signup.Car
	needs                 string
	report                signup.SelfReport
}

// walkers is how many people the club has.
// Our judgment: more than the three hikes of today have together, so that nobody is on two.
const walkers = 96

// club draws the people who sign up. Given and family names are combined at random, so that
// the full names are not real.
func club(d *dice) []walker {
	given, family := d.Perm(len(givenNames())), d.Perm(len(familyNames()))
	list := make([]walker, walkers)
	for i := range list {
		list[i] = d.walker(i, givenNames()[given[i%len(given)]], familyNames()[family[(i+i/len(given)*7)%len(family)]])
	}
	return list
}

func (d *dice) walker(i int, first, last string) walker {
	w := walker{
		name: first + " " + last, mobile: phone(602, i), contactPhone: phone(480, i+37),
		contact: pick(d, givenNames()) + " " + last, longest: pick(d, recentWalks()),
		hot: d.IntN(11), water: unit.Volume(4+d.IntN(9)) / 2 * unit.Litre,
	}
	w.email = address(w.name)
	if i%3 != 1 {
		w.car = d.car(i)
	}
	if i%8 == 2 {
		w.needs = pick(d, wishes())
	}
	w.report = d.selfReport(i)
	// Our judgment: one in nine is a minor with a parent or guardian.
	if i%9 == 4 {
		w.minor, w.guardian = true, w.contact
		w.longest = "A school hike of 5 km in spring, was fine. Comes with " + w.contact + "."
	}
	return w
}

// place returns the walker's request for a place.
func (w walker) place(id string, asked time.Time) signup.SignUp {
	p := signup.SignUp{
		ID: id, Name: w.name, Email: w.email, Mobile: w.mobile, EmergencyName: w.contact,
		EmergencyPhone: w.contactPhone,
		LongestWalk:    w.longest, HotDays: w.hot, Water: w.water, Minor: w.minor, Guardian: w.guardian,
		SelfReport: w.report, RiskAccepted: asked,
		Car: w.car, Needs: w.needs,
		Acknowledged: true, Asked: asked,
	}
	if w.minor {
		p.GuardianPhone, p.Consented = w.contactPhone, asked
	}
	p.RiskVersion, _ = signup.RisksVersion()
	return p
}

// selfReport returns what a walker reports. A few are new to the heat or walk little.
func (d *dice) selfReport(i int) signup.SelfReport {
	t := signup.SelfReport{
		Walk: signup.Outing{Distance: unit.Length(5+i%11) * unit.Kilometre, Ascent: unit.Length(40 * (i % 9)),
			Took: time.Duration(80+12*(i%11)) * time.Minute},
		WalkAgo: 3 + i%40, HotBefore: i%10 != 7, LivesHere: i%12 != 5,
		Shoes: []string{"boots", "trail shoes", "old boots, good soles"}[i%3],
		Poles: i%4 == 1, Older: i%14 == 3, HeatIll: i%17 == 6, Drive: time.Duration(20+5*(i%17)) * time.Minute,
	}
	if !t.LivesHere {
		t.Here, t.From = 2+i%9, "the coast"
	}
	return t
}

// car draws a car of an invented make.
func (d *dice) car(i int) signup.Car {
	makes := []string{"Correcaminos", "Tumbril", "Palmetto 4", "Kestrel wagon", "Ocotillo van"}
	colors := []string{"white", "silver", "dark blue", "red", "sand", "green"}
	return signup.Car{Plate: fmt.Sprintf("%c%c%c %03d", 'A'+i%23, 'C'+i%19, 'B'+i%21, (i*37+104)%1000),
		Make: pick(d, makes), Colour: pick(d, colors), Seats: d.IntN(4)}
}

func givenNames() []string {
	return []string{
		"Aaliyah", "Bram", "Chidi", "Delphine", "Emre", "Farida", "Gideon", "Hye-jin", "Ines", "Jomo", "Kalani",
		"Lucinda",
		"Maarten", "Nayeli", "Osvaldo", "Padma", "Quentin", "Rosalba", "Soren", "Tamsin", "Ulises", "Vikram",
		"Wilhelmina",
		"Xiomara", "Yannick", "Zainab", "Amadou", "Birgit", "Cuong", "Dolores", "Eamon", "Fumiko", "Graciela", "Hollis",
		"Isidro", "Jaswinder", "Ketevan", "Lorcan", "Mehmet", "Noemi", "Oksana", "Petra", "Rukmini", "Siosaia",
		"Thandiwe",
		"Ursula", "Vesna", "Wendell",
	}
}

func familyNames() []string {
	return []string{
		"Abernethy-Cruz", "Baptiste", "Chatterlee", "Dunmore", "Echevaria", "Fairweather", "Gustavsen", "Hightower",
		"Ibarguen", "Jaramillo", "Kettleby", "Lacquement", "Makoare", "Nightingall", "Okereke", "Pettibone",
		"Quisenberry",
		"Ravindra", "Sandoval", "Tuimavave", "Umberto", "Vasquillo", "Whitlow", "Yamashiro", "Zamorano", "Arrowood",
		"Bellweather", "Castaneda", "Dragomir", "Esparza", "Folau", "Greenlaw", "Hernandez-Roy", "Iwasaki", "Jelinek",
		"Kambo", "Lindenau", "Mbeki-Shaw", "Norrgard", "Ochoa", "Parikh", "Rosenthaler", "Sepulveda", "Thibodeau",
		"Villanova", "Wachira", "Yellen", "Zielonka",
	}
}

// recentWalks returns answers to the question about the longest recent walk.
func recentWalks() []string {
	return []string{
		"10 km around the reservoir three weeks ago, two and a half hours, no trouble.",
		"Mostly the neighbourhood, 4 km every evening. Nothing longer lately.",
		"Walked 14 km with this group last month, tired at the end but fine.",
		"6 km with 200 m of climbing, knees complained on the way down.",
		"Half marathon in October. Not used to rock.",
		"5 km with the dog, twice a week, early because of the heat.",
		"A weekend in the pines, two days of 11 km with a light pack.",
		"About two hours on the canal path, flat. Felt good.",
		"8 km hike here in the reserve, ran out of water near the end and learned from it.",
		"Gym only, treadmill on a slope for 45 minutes. Moved here from the coast this year.",
	}
}

// wishes returns what people ask leaders to do for them on the day.
func wishes() []string {
	return []string{
		"Speak to me from the left; I hear little on the right.",
		"I carry an inhaler in the top pocket of my pack. I use it myself; please wait for me when I do.",
		"New knee since spring: slow on the way down, fine on the way up.",
		"I keep bees off with a net and carry my own medicine for stings.",
		"Please tell me before narrow places with a drop, so that I can go in the middle.",
	}
}
