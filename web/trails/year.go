package trails

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/paths"
	"saltbush/internal/plan"
	"saltbush/internal/trail"
	"saltbush/web/kit"
	"saltbush/web/trails/view"
	"saltbush/web/ui"
)

// normalsBytes is the most that normals may take. Our judgment: twelve lines of seven figures are
// under a thousand characters.
const normalsBytes = 16 << 10

// SetNormals stores the monthly normals of a trail, typed or uploaded. A faulty file is shown as
// text, so that it can be corrected.
func (s *Handlers) SetNormals(w http.ResponseWriter, r *http.Request) error {
	t, err := s.trailOf(r)
	if err != nil {
		return err
	}
	r.Body = http.MaxBytesReader(w, r.Body, 2*normalsBytes)
	if err := readNormalsFile(r); err != nil {
		return s.renderTrail(w, r, http.StatusUnprocessableEntity, t,
			kit.FormStateOf(r, fault.Invalid{"normals": err.Error()}))
	}
	f := kit.NewForm(r)
	n := trail.TrailNormals{Trail: t.ID, Typed: s.Now(), By: kit.NameOf(r)}
	YearForm().Read(f, &n)
	invalid, err := f.Invalid(n.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderTrail(w, r, http.StatusUnprocessableEntity, t, kit.FormStateOf(r, invalid))
	}
	if err := s.Hikes.SaveNormals(r.Context(), n); err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Trail(t.ID)+"#year", saidOfNormals(t, n.Normals))
}

func saidOfNormals(t trail.Trail, n plan.Normals) string {
	if len(n) == 0 {
		return "The normals are taken away: nothing is known of the year of " + t.Name + "."
	}
	return fmt.Sprintf("The year of %s is worked out anew from %s.", t.Name, format.Count(len(n), "month", "months"))
}

// readNormalsFile replaces the typed text with an uploaded file, so that it is shown as text where
// it is wrong.
func readNormalsFile(r *http.Request) error {
	if err := r.ParseMultipartForm(normalsBytes); err != nil && !errors.Is(err, http.ErrNotMultipart) {
		return fault.Refusal("This is longer than twelve months can need, or the upload broke off. Try again.")
	}
	file, _, err := r.FormFile("normals_file")
	if err != nil {
		return nil // none was chosen
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, normalsBytes))
	if len(text) > 0 {
		r.PostForm.Set("normals", strings.ToValidUTF8(string(text), "?"))
	}
	return err
}

// readNormals reads normals. An empty text is none. Its error is written for the person who typed.
func readNormals(text string) (plan.Normals, error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	n, err := plan.ReadNormals(strings.NewReader(text))
	if err == nil {
		return n, nil
	}
	var words []string
	for _, fault := range kit.Leaves(err) {
		words = append(words, fault.Error())
	}
	// Our judgment: somebody who has corrected five faults sends the form again anyway.
	if more := len(words) - 5; more > 0 {
		words = append(words[:5], fmt.Sprintf("and %d more", more))
	}
	said := strings.Join(words, "; ")
	return nil, errors.New(strings.ToUpper(said[:1]) + said[1:] + ".")
}

// trailYear adds the year of a trail, or says that nothing is known of it.
func (s *Handlers) trailYear(r *http.Request, p *view.TrailPage, t trail.Trail, a ui.FormState) {
	n, err := s.Hikes.Normals(r.Context(), t.ID)
	known := err == nil
	p.YearFields = YearForm().Filled(a, n)
	switch {
	case errors.Is(err, fault.ErrNotFound):
		p.Year.Unknown = "No monthly normals are on file for this trailhead. In which months it can be led is not " +
			"known, and nothing here says that it is safe."
	case err != nil:
		p.Year.Unknown = "The monthly normals could not be read, so nothing is known of the year."
	}
	if !known {
		return
	}
	house, err := s.Hikes.House(r.Context())
	if err != nil {
		p.Year.Unknown = "The rules of the house could not be read, so nothing is known of the year."
		return
	}
	y, err := trail.YearFor(t, n.Normals, house.Rules, s.Now())
	if err != nil {
		p.Year.Unknown = "The year cannot be worked out: " + err.Error() + "."
		return
	}
	p.Year = view.NewYearText(y, p.Units)
	p.Year.From = yearFrom(t, n)
}

func yearFrom(t trail.Trail, n trail.TrailNormals) []format.Line {
	party := trail.YearParty(t)
	source := n.Source
	if source == "" {
		source = "nobody said"
	}
	return []format.Line{
		{Label: "Worked out for", Value: fmt.Sprintf("%s and %s, %s pace",
			format.Count(party.Participants, "walker", "walkers"), format.Count(party.Staff, "leader", "leaders"),
			party.Pace),
			Note: "Not known to be used to heat."},
		{Label: "Normals from", Value: source},
		{Label: "Typed", Value: format.Moment(n.Typed.In(t.Location()), t.Location()) + " by " + n.By},
		{Label: "Model", Value: plan.Model, Note: "The same as for one hike: each hour is a plan of its own."},
	}
}
