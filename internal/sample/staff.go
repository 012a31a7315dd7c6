package sample

import (
	"context"
	"fmt"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/ref"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// others returns people who staff no hikes: a trainer, learners, a lapsed leader and others.
func others() []account.Account {
	list := []account.Account{
		{Name: "Wanda Okonjo-Reyes", Roles: []account.Role{account.Trainer}},
		{Name: "Silas Threlkeld"},
		{Name: "Marisela Quon"},
		{Name: "Hollis Umana-Drake"},
		{Name: "Perpetua Lindgren-Oyelaran", Roles: []account.Role{account.OnCall}},
		{Name: "Anselm Quiroga-Thiele", Roles: []account.Role{account.Safety}},
	}
	for i := range list {
		list[i].Email, list[i].Phone = address(list[i].Name), phone(928, 60+i)
		list[i].Active, list[i].Units = true, account.US
		if list[i].Roles == nil {
			list[i].Roles = []account.Role{}
		}
	}
	return list
}

// Indexes in others.
const (
	trainer = iota
	candidate
	learner
	lapsed
	onCall
	safety
)

// addStaffRecords stores the records of staff who have none.
func (l *loader) addStaffRecords(ctx context.Context) error {
	if l.Staff == nil {
		return nil
	}
	known, err := l.Staff.Qualifications(ctx)
	if err != nil {
		return err
	}
	onRecord := map[string]bool{}
	ids := map[string]ref.Account{}
	for _, q := range known {
		onRecord[q.Email], ids[q.Email] = q.OnRecord(), q.Account
	}
	for _, a := range others() {
		if ids[a.Email] == 0 {
			made, err := l.addAccount(ctx, a, l.hash)
			if err != nil {
				return err
			}
			ids[a.Email] = made.ID
		}
	}
	for _, r := range l.records() {
		if onRecord[r.email] {
			continue
		}
		if err := l.addRecord(ctx, ids[r.email], r); err != nil {
			return fmt.Errorf("record of %s: %w", r.email, err)
		}
	}
	return l.addDrives(ctx)
}

// record is the record of the person with a mail address.
type record struct {
	email        string
	approvals    []team.Approval
	certificates []team.Certificate
	observed     []team.Observed
	absences     []team.Absence
}

func (l *loader) addRecord(ctx context.Context, id ref.Account, r record) error {
	for _, s := range r.approvals {
		if err := l.Staff.AddApproval(ctx, id, s); err != nil {
			return err
		}
	}
	for _, c := range r.certificates {
		c.Account = id
		if err := l.Staff.AddCertificate(ctx, c); err != nil {
			return err
		}
	}
	for _, o := range r.observed {
		o.Account = id
		if err := l.Staff.AddObserved(ctx, o); err != nil {
			return err
		}
	}
	for _, a := range r.absences {
		a.Account = id
		if err := l.Staff.AddAbsence(ctx, a); err != nil {
			return err
		}
	}
	return nil
}

// records returns the records of the crew, with some gaps for the demo, and of the others.
func (l *loader) records() []record {
	today := unit.DateOf(l.season.now)
	var list []record
	for i, a := range crew()[:desk] {
		list = append(list, goodRecord(today, a.Email, i))
	}
	list[outLeader].approvals[0].Level = team.LevelMentor
	list[3].certificates[0].Through = today.Add(12) // first aid ends the day before the hike of day 13
	list[4].certificates[1].Through = today.Add(10) // CPR counts for the hike of day 3, not of day 20
	list[7].certificates[0].Through = today.Add(45)
	list[8].approvals[0].MaxClass = track.Moderate
	list[5].approvals = append(list[5].approvals, approval(today.Add(-25), team.LevelLeader, track.Strenuous,
		team.StatusProvisional, "Back after a long break: a season beside another leader first."))
	list[7].absences = []team.Absence{{From: today.Add(14), To: today.Add(24), Note: "with family"}}
	list[2].absences = []team.Absence{{From: today, Weekdays: []time.Weekday{time.Sunday}, Note: "market stall"}}
	return append(list, l.otherRecords(today)...)
}

// goodRecord returns the record of the crew's i-th leader, without gaps.
func goodRecord(today unit.Date, email string, i int) record {
	s := approval(today.Add(-500+7*i), team.LevelLeader, track.VeryStrenuous, team.StatusActive,
		"Four hikes observed, all ready.")
	s.Endorsements = team.Endorsements()
	certificate := func(kind, issuer string, days int) team.Certificate {
		return team.Certificate{Kind: kind, Issuer: issuer, Number: fmt.Sprintf("%c-%03d", kind[0]&^0x20, 140+7*i),
			Through: today.Add(days), Evidence: "copy on file"}
	}
	return record{email: email, approvals: []team.Approval{s}, certificates: []team.Certificate{
		certificate("wilderness first aid", "Basin School of Outdoor Care", 220+31*i),
		certificate("CPR", "Basin School of Outdoor Care", 140+23*i),
		certificate("youth safety", "the reserve", 300+11*i),
		{Kind: "leader agreement", Issuer: "the reserve", Evidence: "signed at the season's opening"},
	}}
}

func approval(from unit.Date, l team.Level, hardest track.Class, s team.Status, reason string) team.Approval {
	return team.Approval{From: from, Level: l, MaxClass: hardest, Status: s, Reason: reason, By: crew()[desk].Name,
		Written: from.Time().Add(18 * time.Hour)}
}

// otherRecords returns the records of two learners and a lapsed leader.
func (l *loader) otherRecords(today unit.Date) []record {
	all := others()
	watched := func(days int, trail int, result, note string, skills ...string) team.Observed {
		return team.Observed{Day: today.Add(days), Trail: l.ways[trail].Name, Mentor: crew()[outLeader].Name,
			Skills: skills, Result: result, Note: note}
	}
	return []record{
		{email: all[candidate].Email, approvals: []team.Approval{approval(today.Add(-70), team.LevelCandidate,
			track.Easiest, team.StatusActive, "Took the first course.")},
			observed: []team.Observed{
				watched(-52, flatLoop, "not yet", "Knows the way well; the roll was taken from memory.",
					"roll and count", "way finding"),
				watched(-20, flatLoop, "more practice", "Counts by name now. Walk slower on the first mile.",
					"roll and count", "pace of the slowest"),
			}},
		{email: all[learner].Email, approvals: []team.Approval{approval(today.Add(-120), team.LevelSweep,
			track.Moderate, team.StatusActive, "Two hikes observed, both ready.")},
			certificates: []team.Certificate{{Kind: "CPR", Issuer: "Basin School of Outdoor Care",
				Number: "C-331", Through: today.Add(200), Evidence: "shown at training"}},
			observed: []team.Observed{watched(-10, washLoop, "ready",
				"Held the tail through the long bend; spoke up early about the heat.", "pace of the slowest",
				"heat and water", "radio and phone")}},
		{email: all[lapsed].Email, approvals: []team.Approval{
			approval(today.Add(-900), team.LevelLeader, track.Strenuous, team.StatusActive,
				"Four hikes observed, all ready."),
			approval(today.Add(-40), team.LevelLeader, track.Strenuous, team.StatusLapsed,
				"First aid ended and was not renewed.")},
			certificates: []team.Certificate{{Kind: "wilderness first aid", Issuer: "Basin School of Outdoor Care",
				Number: "W-097", Through: today.Add(-41), Evidence: "copy on file"}}},
	}
}

// addDrives stores drives that take longer than a straight line suggests.
func (l *loader) addDrives(ctx context.Context) error {
	for _, d := range []struct {
		from, to int
		takes    time.Duration
	}{{flatLoop, kettle, 75 * time.Minute}, {washLoop, spring, 40 * time.Minute}, {flatLoop, stair, 35 * time.Minute}} {
		if err := l.Staff.SaveDrive(ctx, trail.Pair{From: l.trails[d.from], To: l.trails[d.to]}, d.takes); err != nil {
			return err
		}
	}
	return nil
}
