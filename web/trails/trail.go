package trails

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

	"saltbush/internal/fault"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/web/kit"
	"saltbush/web/trails/view"
	"saltbush/web/ui"
)

// List shows the catalogue of trails.
func (s *Handlers) List(w http.ResponseWriter, r *http.Request) error {
	trails, err := s.Hikes.Trails(r.Context())
	if err != nil {
		return err
	}
	return s.Render(w, r, http.StatusOK, view.Trails(s.trailsPage(r, trails)))
}

// Show shows one trail.
func (s *Handlers) Show(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	return s.renderTrail(w, r, http.StatusOK, t, ui.FormState{})
}

// renderTrail shows a trail, with what is wrong beside its forms.
func (s *Handlers) renderTrail(w http.ResponseWriter, r *http.Request, status int, t trail.Trail,
	a ui.FormState) error {
	p := s.trailPage(r, t, a)
	if err := s.trailGround(r, &p, t, a); err != nil {
		return err
	}
	return s.Render(w, r, status, view.Trail(p))
}

func (s *Handlers) trailOf(r *http.Request) (trail.Trail, error) {
	id, err := strconv.ParseInt(chi.URLParam(r, "trail"), 10, 64)
	if err != nil {
		return trail.Trail{}, fmt.Errorf("trail %q: %w", chi.URLParam(r, "trail"), fault.ErrNotFound)
	}
	return s.Hikes.Trail(r.Context(), ref.Trail(id))
}

// ShowNew shows the form for a new trail.
func (s *Handlers) ShowNew(w http.ResponseWriter, r *http.Request) error {
	return s.renderTrailForm(w, r, http.StatusOK, nil, ui.FormState{})
}

// renderTrailForm shows the form for a new trail, or for the words of the given one.
func (s *Handlers) renderTrailForm(w http.ResponseWriter, r *http.Request, status int, of *trail.Trail,
	a ui.FormState) error {
	return s.Render(w, r, status, view.TrailForm(s.trailFormPage(r, of, a)))
}

// Add stores a trail from an uploaded track. It limits the body before parsing it and reads the
// track as a stream, so that neither a huge nor a hostile file uses up memory.
func (s *Handlers) Add(w http.ResponseWriter, r *http.Request) error {
	limits := track.DefaultLimits()
	r.Body = http.MaxBytesReader(w, r.Body, limits.Bytes+kit.FormExtra)
	up, err := readUpload(r, limits)
	if err != nil {
		return err
	}
	t, err := s.storeTrail(r, up)
	var invalid fault.Invalid
	if errors.As(err, &invalid) {
		return s.renderTrailForm(w, r, http.StatusUnprocessableEntity, nil,
			ui.FormState{Values: up.fields, Errors: invalid})
	}
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Trail(t.ID), said(t, up.left))
}

func said(t trail.Trail, left []string) string {
	text := t.Name + " is in the catalogue."
	if len(left) > 0 {
		text += " Left out, too far from the track: " + strings.Join(left, ", ") + "."
	}
	return text
}

// upload is a form with one file, read as a stream.
type upload struct {
	fields url.Values
	rec    track.Recording
	gpx    []byte
	left   []string // waypoints too far from the track
	wrong  fault.Invalid
}

func readUpload(r *http.Request, limits track.Limits) (*upload, error) {
	u := &upload{fields: url.Values{}, wrong: fault.Invalid{}}
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, fault.Invalid{"file": "Choose a GPX file to upload."}
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

// tooLarge puts a message beside the file where the body is too large. Any other error is returned.
func (u *upload) tooLarge(err error, limits track.Limits) error {
	var tooLarge *http.MaxBytesError
	if !errors.As(err, &tooLarge) {
		return fault.Invalid{"file": "The upload broke off. Try again."}
	}
	u.wrong.Add("file", fmt.Sprintf("The file is larger than %d MiB, more than a day hike's track can need.",
		limits.Bytes>>20))
	return nil
}

func (u *upload) take(name string, part io.Reader, limits track.Limits) error {
	if name != "file" {
		typed, err := io.ReadAll(io.LimitReader(part, kit.FormExtra))
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

// storeTrail makes a trail of an upload and stores it, or returns what is wrong with it.
func (s *Handlers) storeTrail(r *http.Request, u *upload) (trail.Trail, error) {
	f := kit.Form{Values: u.fields, Faults: u.wrong}
	a := TrailAnswers{Trail: trail.Trail{Created: s.Now()}}
	TrailForm().Read(f, &a)
	t := a.Trail
	if t.Name == "" {
		t.Name = u.rec.Name
	}
	if f.Faults["shape"] == "" && f.Faults["file"] == "" {
		var err error
		if t.Profile, err = track.NewProfile(u.rec, a.Shape); err != nil {
			f.Faults.Add("file", "No trail can be made of this file: "+err.Error()+".")
		}
	}
	if invalid, err := f.Invalid(t.Validate()); err != nil || invalid != nil {
		return t, errors.Join(err, invalid.Err())
	}
	t.Points, u.left = trail.PointsFromWaypoints(t.Profile, u.rec.Waypoints)
	id, err := s.Hikes.AddTrail(r.Context(), t, u.gpx)
	t.ID = id
	return t, err
}

// ShowEdit shows the form with the trail's words.
func (s *Handlers) ShowEdit(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	return s.renderTrailForm(w, r, http.StatusOK, &t, ui.FormState{})
}

// Edit changes the words of a trail.
func (s *Handlers) Edit(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	err = s.Hikes.ChangeTrail(r.Context(), t.ID, func(t *trail.Trail) error {
		TrailEditForm().Read(f, t)
		invalid, err := f.Invalid(t.Validate())
		return errors.Join(err, invalid.Err())
	})
	var invalid fault.Invalid
	if errors.As(err, &invalid) {
		return s.renderTrailForm(w, r, http.StatusUnprocessableEntity, &t, kit.FormStateOf(r, invalid))
	}
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Trail(t.ID), "The trail's words are changed.")
}

// DownloadTrack answers with the file that was uploaded, unchanged.
func (s *Handlers) DownloadTrack(w http.ResponseWriter, r *http.Request) error {
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

// ChangeShape works out the trail anew for another shape of walk.
func (s *Handlers) ChangeShape(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	f, a := kit.NewForm(r), TrailAnswers{}
	ShapeForm(t.Profile.Shape).Read(f, &a)
	if len(f.Faults) > 0 {
		return s.renderTrail(w, r, http.StatusUnprocessableEntity, t, kit.FormStateOf(r, f.Faults))
	}
	gpx, err := s.Hikes.Upload(r.Context(), t.ID)
	if err != nil {
		return err
	}
	rec, err := track.Read(bytes.NewReader(gpx), track.DefaultLimits())
	if err != nil {
		return fmt.Errorf("stored track of trail %d: %w", t.ID, err)
	}
	profile, err := track.NewProfile(rec, a.Shape)
	if err != nil {
		return err
	}
	err = s.Hikes.ChangeTrail(r.Context(), t.ID, func(t *trail.Trail) error {
		t.Profile = profile
		return nil
	})
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Trail(t.ID),
		"Now walked "+string(a.Shape)+". Plans already made keep the old figures; compute them anew.")
}

// AddPoint adds a place on the trail.
func (s *Handlers) AddPoint(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	var p trail.Point
	PointForm(s.UnitsOf(r)).Read(f, &p)
	if p.WaterSeen.After(s.Now()) {
		f.Faults.Add("water_seen", "This day is still to come.")
	}
	invalid, err := f.Invalid(t.ValidatePoint(p))
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderTrail(w, r, http.StatusUnprocessableEntity, t, kit.FormStateOf(r, invalid))
	}
	err = s.Hikes.ChangeTrail(r.Context(), t.ID,
		func(t *trail.Trail) error {
			t.Points = append(t.Points, p)
			return nil
		})
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Trail(t.ID), p.Name+" is on the trail.")
}

// RemovePoint removes a place from the trail.
func (s *Handlers) RemovePoint(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	id, _ := strconv.ParseInt(chi.URLParam(r, "point"), 10, 64)
	err = s.Hikes.ChangeTrail(r.Context(), t.ID, func(t *trail.Trail) error { return t.RemovePoint(id) })
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Trail(t.ID), "The point is removed.")
}
