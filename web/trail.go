package web

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/hike"
	"saltbush/internal/track"
	"saltbush/internal/walk"
	"saltbush/web/view"
)

func (s *Server) showTrails(w http.ResponseWriter, r *http.Request) error {
	trails, err := s.Hikes.Trails(r.Context())
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, view.Trails(s.trailsPage(r, trails)))
}

func (s *Server) showTrail(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	return s.renderTrail(w, r, http.StatusOK, t, view.Answers{})
}

// renderTrail shows a trail, and beside its forms what is wrong with them.
func (s *Server) renderTrail(w http.ResponseWriter, r *http.Request, status int, t hike.Trail, a view.Answers) error {
	p := s.trailPage(r, t, a)
	if err := s.trailGround(r, &p, t, a); err != nil {
		return err
	}
	return s.render(w, r, status, view.Trail(p))
}

func (s *Server) trailOf(r *http.Request) (hike.Trail, error) {
	id, err := strconv.ParseInt(chi.URLParam(r, "trail"), 10, 64)
	if err != nil {
		return hike.Trail{}, fmt.Errorf("trail %q: %w", chi.URLParam(r, "trail"), hike.ErrNotFound)
	}
	return s.Hikes.Trail(r.Context(), hike.TrailID(id))
}

func (s *Server) showTrailForm(w http.ResponseWriter, r *http.Request) error {
	return s.renderTrailForm(w, r, http.StatusOK, nil, view.Answers{})
}

// renderTrailForm shows the form for a new trail, or for the words of one that is there.
func (s *Server) renderTrailForm(w http.ResponseWriter, r *http.Request, status int, of *hike.Trail, a view.Answers) error {
	return s.render(w, r, status, view.TrailForm(s.trailFormPage(r, of, a)))
}

// House judgement: words beside the track in an upload.
const formExtra = 64 << 10

// addTrail takes an upload. The body is bounded before it is parsed, and the track is
// read as a stream, so that neither a huge nor a hostile file costs memory.
func (s *Server) addTrail(w http.ResponseWriter, r *http.Request) error {
	limits := track.DefaultLimits()
	r.Body = http.MaxBytesReader(w, r.Body, limits.Bytes+formExtra)
	up, err := readUpload(r, limits)
	if err != nil {
		return err
	}
	t, err := s.storeTrail(r, up)
	var invalid hike.Invalid
	if errors.As(err, &invalid) {
		return s.renderTrailForm(w, r, http.StatusUnprocessableEntity, nil, view.Answers{Typed: up.fields, Wrong: invalid})
	}
	if err != nil {
		return err
	}
	return s.seeOther(w, r, trailPath(t.ID), said(t, up.left))
}

func said(t hike.Trail, left []string) string {
	text := t.Name + " is in the catalogue."
	if len(left) > 0 {
		text += " Left out, too far from the track: " + strings.Join(left, ", ") + "."
	}
	return text
}

func trailPath(id hike.TrailID) string { return fmt.Sprintf("/trails/%d", id) }

// upload is a form with one file, read as it streams in.
type upload struct {
	fields url.Values
	rec    track.Recording
	gpx    []byte
	left   []string // waypoints too far from the track
	wrong  hike.Invalid
}

func readUpload(r *http.Request, limits track.Limits) (*upload, error) {
	u := &upload{fields: url.Values{}, wrong: hike.Invalid{}}
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, hike.Invalid{"file": "Choose a GPX file to upload."}
	}
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return u, nil
		}
		if err != nil {
			return u, u.tooLarge(err, limits)
		}
		if err := u.take(part.FormName(), part, limits); err != nil {
			return u, err
		}
	}
}

// tooLarge turns the end of a bounded body into a message beside the file; whatever else
// cut the upload is an error.
func (u *upload) tooLarge(err error, limits track.Limits) error {
	var tooLarge *http.MaxBytesError
	if !errors.As(err, &tooLarge) {
		return hike.Invalid{"file": "The upload broke off. Try again."}
	}
	u.wrong.Add("file", fmt.Sprintf("The file is larger than %d MiB, more than a day hike's track can need.", limits.Bytes>>20))
	return nil
}

func (u *upload) take(name string, part io.Reader, limits track.Limits) error {
	if name != "file" {
		typed, err := io.ReadAll(io.LimitReader(part, formExtra))
		u.fields.Set(name, string(typed))
		return err
	}
	var kept bytes.Buffer
	rec, err := track.Read(io.TeeReader(part, &kept), limits)
	var bad *track.ReadError
	switch {
	case errors.As(err, &bad):
		u.wrong.Add("file", "This file cannot be read: "+bad.Error()+".")
	case err != nil:
		return u.tooLarge(err, limits)
	default:
		u.rec, u.gpx = rec, kept.Bytes()
	}
	return nil
}

// storeTrail makes a trail of an upload, or says what is wrong with it; then nothing is
// stored.
func (s *Server) storeTrail(r *http.Request, u *upload) (hike.Trail, error) {
	f := formOf(u.fields)
	f.faults = u.wrong
	t := hike.Trail{
		Name: f.text("name"), Summary: f.paragraph("summary"), Zone: f.text("zone"), Meeting: f.paragraph("meeting"),
		PermitWithoutStaff: f.text("permit_staff") == "no",
		Manager:            f.text("manager"), Signal: f.text("signal"), Surface: walk.Surface(f.text("surface")), Created: s.Now(),
	}
	if t.Name == "" {
		t.Name = u.rec.Name
	}
	t.PermitCap = f.whole("permit_cap", "Give a whole number, or leave it empty.")
	f.profile(&t, u)
	if invalid, err := f.invalid(t.Validate()); err != nil || invalid != nil {
		return t, errors.Join(err, invalid.Err())
	}
	t.Points, u.left = hike.PointsFromWaypoints(t.Profile, u.rec.Waypoints)
	id, err := s.Hikes.AddTrail(r.Context(), t, u.gpx)
	t.ID = id
	return t, err
}

// profile reads shape and track into the trail.
func (f form) profile(t *hike.Trail, u *upload) {
	shape, err := track.ParseShape(f.text("shape"))
	if err != nil {
		f.faults.Add("shape", "Choose how the track is walked.")
		return
	}
	if f.faults["file"] != "" {
		return
	}
	if t.Profile, err = track.NewProfile(u.rec, shape); err != nil {
		f.faults.Add("file", "No trail can be made of this file: "+err.Error()+".")
	}
}

func (s *Server) showTrailEdit(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	return s.renderTrailForm(w, r, http.StatusOK, &t, view.Answers{Typed: trailValues(t)})
}

// trailValues gives the form the trail's own words.
func trailValues(t hike.Trail) url.Values {
	permit := ""
	if t.PermitCap > 0 {
		permit = strconv.Itoa(t.PermitCap)
	}
	counted := "yes"
	if t.PermitWithoutStaff {
		counted = "no"
	}
	return url.Values{
		"permit_staff": {counted},
		"name":         {t.Name}, "summary": {t.Summary}, "zone": {t.Zone}, "surface": {string(t.Surface)}, "meeting": {t.Meeting},
		"permit_number": {t.PermitNumber}, "manager": {t.Manager}, "permit_cap": {permit}, "signal": {t.Signal},
	}
}

func (s *Server) editTrail(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	f := newForm(r)
	cap := f.whole("permit_cap", "Give a whole number, or leave it empty.")
	err = s.Hikes.ChangeTrail(r.Context(), t.ID, func(t *hike.Trail) error {
		t.Name, t.Summary, t.Zone, t.Meeting = f.text("name"), f.paragraph("summary"), f.text("zone"), f.paragraph("meeting")
		t.PermitWithoutStaff, t.PermitNumber = f.text("permit_staff") == "no", f.text("permit_number")
		t.Manager, t.Signal, t.PermitCap, t.Surface = f.text("manager"), f.text("signal"), cap, walk.Surface(f.text("surface"))
		invalid, err := f.invalid(t.Validate())
		return errors.Join(err, invalid.Err())
	})
	var invalid hike.Invalid
	if errors.As(err, &invalid) {
		return s.renderTrailForm(w, r, http.StatusUnprocessableEntity, &t, answers(r, invalid))
	}
	if err != nil {
		return err
	}
	return s.seeOther(w, r, trailPath(t.ID), "The trail's words are changed.")
}

// downloadTrack gives back the file that the trail came from, as it came.
func (s *Server) downloadTrack(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	gpx, err := s.Hikes.Upload(r.Context(), t.ID)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/gpx+xml")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="trail-%d.gpx"`, t.ID))
	_, err = w.Write(gpx)
	return err
}

func (s *Server) changeShape(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	shape, err := track.ParseShape(r.PostFormValue("shape"))
	if err != nil {
		return s.renderTrail(w, r, http.StatusUnprocessableEntity, t, answers(r, hike.Invalid{"shape": "Choose how the track is walked."}))
	}
	gpx, err := s.Hikes.Upload(r.Context(), t.ID)
	if err != nil {
		return err
	}
	rec, err := track.Read(bytes.NewReader(gpx), track.DefaultLimits())
	if err != nil {
		return fmt.Errorf("stored track of trail %d: %w", t.ID, err)
	}
	profile, err := track.NewProfile(rec, shape)
	if err != nil {
		return err
	}
	err = s.Hikes.ChangeTrail(r.Context(), t.ID, func(t *hike.Trail) error { t.Profile = profile; return nil })
	if err != nil {
		return err
	}
	return s.seeOther(w, r, trailPath(t.ID), "Now walked "+string(shape)+". Plans already made keep the old figures; compute them anew.")
}

func (s *Server) addPoint(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	f := newForm(r)
	p := hike.Point{
		Kind: hike.PointKind(f.text("kind")), Name: f.text("name"), Note: f.text("note"),
		Along:     f.length("along", "along_unit", "Give a distance from the start, such as 2.4."),
		WaterSeen: f.dayOrNone("water_seen", "Give the day, such as 2027-03-14, or leave it empty."),
	}
	if p.WaterSeen.After(s.Now()) {
		f.faults.Add("water_seen", "This day is still to come.")
	}
	invalid, err := f.invalid(t.ValidatePoint(p))
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderTrail(w, r, http.StatusUnprocessableEntity, t, answers(r, invalid))
	}
	err = s.Hikes.ChangeTrail(r.Context(), t.ID, func(t *hike.Trail) error { t.Points = append(t.Points, p); return nil })
	if err != nil {
		return err
	}
	return s.seeOther(w, r, trailPath(t.ID), p.Name+" is on the trail.")
}

func (s *Server) removePoint(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	id, _ := strconv.ParseInt(chi.URLParam(r, "point"), 10, 64)
	err = s.Hikes.ChangeTrail(r.Context(), t.ID, func(t *hike.Trail) error { return t.RemovePoint(id) })
	if err != nil {
		return err
	}
	return s.seeOther(w, r, trailPath(t.ID), "The point is removed.")
}
