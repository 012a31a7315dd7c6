package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

// ChangeAndAnnounce locks the hike, applies change, and saves the hike with what change
// returns. A decision is never stored without its mails in the outbox.
func (db *DB) ChangeAndAnnounce(
	ctx context.Context, id ref.Hike, now time.Time,
	change func(*hike.Hike, []signup.SignUp) (hike.Announcing, []message.Mail, error),
) error {
	err := db.inTx(ctx, func(ctx context.Context) error {
		h, places, err := db.lockPlaces(ctx, id)
		if err != nil {
			return err
		}
		news, letters, err := change(&h, places)
		if err != nil {
			return err
		}
		if err := db.saveHike(ctx, h); err != nil {
			return err
		}
		if err := db.saveAnnouncing(ctx, h.ID, news); err != nil {
			return err
		}
		return db.queue(ctx, now, letters)
	})
	return wrapErr(err, "decide on hike %d", id)
}

func (db *DB) saveAnnouncing(ctx context.Context, id ref.Hike, news hike.Announcing) error {
	if news.Plan != nil {
		plan, err := db.savePlan(ctx, *news.Plan)
		if err != nil {
			return err
		}
		err = db.exec(ctx, `
			UPDATE hikes SET decision = jsonb_set(decision, '{Plan}', to_jsonb(@plan::bigint))
			WHERE id = @id`, args{"id": id, "plan": plan})
		if err != nil {
			return err
		}
	}
	if err := db.saveAnnouncement(ctx, id, news); err != nil {
		return err
	}
	batch := &pgx.Batch{}
	for _, p := range news.Places {
		row := signUpArgs(p)
		batch.Queue(updateSQL("signups", row), row)
	}
	return db.send(ctx, batch)
}

// saveAnnouncement also removes the reminders of the announcements before, which are no longer
// valid.
func (db *DB) saveAnnouncement(ctx context.Context, id ref.Hike, news hike.Announcing) error {
	err := db.exec(ctx, `
		DELETE FROM outbox
		WHERE state = 'queued' AND key IN (
			SELECT reminder
			FROM announcement_recipients
			JOIN announcements ON announcements.id = announcement_recipients.announcement_id
			WHERE announcements.hike_id = @hike
		)`, args{"hike": id})
	if err != nil {
		return err
	}
	t := news.Telling
	row := args{
		"hike_id": id, "at": t.At, "by_whom": t.By, "outcome": t.Outcome, "words": t.Words,
		"consent": t.Consent, "meet": t.Before.Meet, "trail": t.Before.Trail,
	}
	telling, err := value[int64](ctx, db, insertSQL("announcements", row)+` RETURNING id`, row)
	if err != nil {
		return err
	}
	batch := &pgx.Batch{}
	for _, p := range news.To {
		batch.Queue(`
			INSERT INTO announcement_recipients (announcement_id, signup_id, account_id, link, remind, reminder)
			VALUES (@telling, nullif(@signup, '')::uuid, nullif(@account, 0), @link, @remind, @reminder)`, args{
			"telling": telling, "signup": p.SignUp, "account": p.Account, "link": p.Link, "remind": p.Remind,
			"reminder": p.Reminder,
		})
	}
	return db.send(ctx, batch)
}

const announcementColumns = `
	t.id,
	t.hike_id AS hike,
	t.at,
	t.by_whom AS by,
	t.outcome,
	t.words,
	t.consent,
	json_build_object('Meet', t.meet, 'Trail', t.trail) AS before,
	t.stands`

// Announcements lists the announcements of a hike with their recipients, the latest first.
func (db *DB) Announcements(ctx context.Context, id ref.Hike) ([]hike.AnnouncementStatus, error) {
	tellings, err := many[hike.Announcement](ctx, db, `SELECT`+announcementColumns+`
		FROM announcements t WHERE t.hike_id = @hike ORDER BY t.id DESC`, args{"hike": id})
	if err != nil {
		return nil, wrapErr(err, "list what was told of hike %d", id)
	}
	rows, err := db.recipientRows(ctx, `t.hike_id = @hike`, args{"hike": id})
	to := map[int64][]hike.Recipient{}
	for _, r := range rows {
		to[r.AnnouncementID] = append(to[r.AnnouncementID], r.Recipient)
	}
	list := make([]hike.AnnouncementStatus, len(tellings))
	for i, t := range tellings {
		list[i] = hike.AnnouncementStatus{Announcement: t, To: to[t.ID]}
	}
	return list, wrapErr(err, "list who was told of hike %d", id)
}

// recipientRow is a recipient of an announcement.
type recipientRow struct {
	AnnouncementID int64
	HikeID         ref.Hike
	hike.Recipient
}

func (db *DB) recipientRows(ctx context.Context, which string, a args) ([]recipientRow, error) {
	return many[recipientRow](ctx, db, `
		SELECT
			announcement_recipients.announcement_id,
			t.hike_id,
			coalesce(s.id::text, '') AS sign_up,
			coalesce(a.id, 0) AS account,
			coalesce(s.name, a.name) AS name,
			coalesce(s.mobile, a.phone) AS mobile,
			coalesce(s.state, '') AS state,
			coalesce(m.role, '') AS role,
			announcement_recipients.read,
			announcement_recipients.remind,
			announcement_recipients.link,
			announcement_recipients.reminder
		FROM announcement_recipients
		JOIN announcements t ON t.id = announcement_recipients.announcement_id
		LEFT JOIN signups s ON s.id = announcement_recipients.signup_id
		LEFT JOIN accounts a ON a.id = announcement_recipients.account_id
		LEFT JOIN hike_staff m ON m.hike_id = t.hike_id AND m.account_id = a.id
		WHERE `+which+`
		ORDER BY s.asked_order NULLS FIRST, a.name`, a)
}

// CountUnread counts who has not read the latest announcement of each hike.
func (db *DB) CountUnread(ctx context.Context, ids []ref.Hike) (map[ref.Hike]int, error) {
	rows, err := db.recipientRows(ctx, `
		t.id IN (SELECT max(id) FROM announcements WHERE hike_id = ANY(@ids) GROUP BY hike_id)`, args{"ids": ids})
	by := map[ref.Hike]hike.AnnouncementStatus{}
	for _, r := range rows {
		by[r.HikeID] = hike.AnnouncementStatus{To: append(by[r.HikeID].To, r.Recipient)}
	}
	out := map[ref.Hike]int{}
	for id, h := range by {
		if n := len(h.Unread()); n > 0 {
			out[id] = n
		}
	}
	return out, wrapErr(err, "count who has not read")
}

// HikesWithUnread lists the hikes that start between two times and whose latest announcement
// somebody has not read, the earliest first.
func (db *DB) HikesWithUnread(ctx context.Context, from, to time.Time) ([]ref.Hike, error) {
	ids, err := values[ref.Hike](ctx, db, `
		SELECT h.id
		FROM hikes h
		WHERE h.start BETWEEN @from AND @to AND EXISTS (
			SELECT FROM announcement_recipients
			WHERE announcement_recipients.read IS NULL AND announcement_recipients.announcement_id = (
				SELECT max(t.id) FROM announcements t WHERE t.hike_id = h.id
			)
		)
		ORDER BY h.start, h.id`, args{"from": from, "to": to})
	return ids, wrapErr(err, "list hikes with unread news")
}

// readerRow is an announcement and its reader: a place, or a member of the staff.
type readerRow struct {
	hike.Announcement
	SignUp  string
	Account ref.Account
	Name    string
}

// AnnouncementByLink finds an announcement and its reader by the hash of the secret.
func (db *DB) AnnouncementByLink(ctx context.Context, hash []byte) (hike.Announcement, hike.Reader, error) {
	r, err := one[readerRow](ctx, db, `
		SELECT`+announcementColumns+`,
			coalesce(announcement_recipients.signup_id::text, '') AS sign_up,
			coalesce(a.id, 0) AS account,
			coalesce(a.name, '') AS name
		FROM announcement_recipients
		JOIN announcements t ON t.id = announcement_recipients.announcement_id
		LEFT JOIN accounts a ON a.id = announcement_recipients.account_id
		WHERE announcement_recipients.link = @hash`, args{"hash": hash})
	to := hike.Reader{Account: r.Account, Name: r.Name}
	if err == nil && r.SignUp != "" {
		to.Place, err = db.SignUpByID(ctx, r.SignUp)
		to.Name = to.Place.Name
	}
	return r.Announcement, to, wrapErr(err, "find what was told by link")
}

// MarkRead records that the person read the announcement, applies answer to their place if they
// have one, removes the reminder, and offers a place that is given back to the next person.
// Reading it again does not change the time.
func (db *DB) MarkRead(
	ctx context.Context, hash []byte, now time.Time, answer func(hike.Announcement, *signup.SignUp),
	mails ...hike.Mails,
) (moved []signup.SignUp, err error) {
	err = db.inTx(ctx, func(ctx context.Context) error {
		t, to, err := db.AnnouncementByLink(ctx, hash)
		if err != nil {
			return err
		}
		if to.Account == 0 {
			if moved, err = db.answerPlace(ctx, t, to.Place.ID, now, answer, mails); err != nil {
				return err
			}
		}
		batch := &pgx.Batch{}
		batch.Queue(`UPDATE announcement_recipients SET read = coalesce(read, @now) WHERE link = @hash`,
			args{"hash": hash, "now": now})
		batch.Queue(`
			DELETE FROM outbox
			WHERE state = 'queued' AND key = (
				SELECT reminder FROM announcement_recipients WHERE link = @hash
			)`, args{"hash": hash})
		return db.send(ctx, batch)
	})
	return moved, wrapErr(err, "mark as read")
}

// answerPlace locks the hike, applies an answer, and serves the waiting list if the answer
// changed the place.
func (db *DB) answerPlace(
	ctx context.Context, t hike.Announcement, id string, now time.Time,
	answer func(hike.Announcement, *signup.SignUp), mails []hike.Mails,
) ([]signup.SignUp, error) {
	h, s, err := db.lockPlace(ctx, id)
	if err != nil {
		return nil, err
	}
	was := s.State
	answer(t, &s)
	if s.State == was {
		return nil, nil
	}
	return db.storeAndServe(ctx, h, s, now, mails)
}

// StandAt sets who waits at the trailhead for the latest announcement of the hike.
func (db *DB) StandAt(ctx context.Context, id ref.Hike, name string) error {
	err := db.execOne(ctx, `
		UPDATE announcements SET stands = @name
		WHERE id = (SELECT max(id) FROM announcements WHERE hike_id = @hike)`, args{"hike": id, "name": name})
	return wrapErr(err, "name who stands at the trailhead of hike %d", id)
}
