package trails_test

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/site/sitetest"
)

// normals are those of five months, in metric and US units.
const normals = `month, low, high, dewpoint, wind, cloud, hot_by
Jan, 5C, 19C, -2C, 2m/s, 35%
Mar, 10C, 26C, -1C, 2.6m/s, 30%, 6C
May, 66F, 97F, 32F, 7mph, 15%
Jul, 27C, 41C, 15C, 3m/s, 35%
Oct, 16C, 32C, 5C, 2.2m/s, 15%
`

// Normals are typed or uploaded. Those with a fault come back as they were, with the line
// and the column of the fault.
func TestNormalsOfATrail(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Staffed, time.Now)
	v := s.SignIn(t, sitetest.Coordinator)
	typed := func(text string) sitetest.Page {
		return v.Post("/trails/1/year", url.Values{"normals": {text}, "normals_source": {"The weather book"}})
	}
	uploaded := func(text string) sitetest.Page {
		fields := url.Values{"normals": {""}, "normals_source": {"The weather book"}}
		return v.UploadAs("normals_file", "/trails/1/year", "normals.csv", []byte(text), fields)
	}
	months := func() int {
		n, err := s.DB.Normals(context.Background(), 1)
		if err != nil && !errors.Is(err, fault.ErrNotFound) {
			t.Fatal(err)
		}
		return len(n.Normals)
	}

	v.Get("/trails/1").Want(http.StatusOK).Shows("The year is not known").Hides("YearDrawing")
	bad := strings.Replace(normals, "97F", "97", 1)
	for name, send := range map[string]func(string) sitetest.Page{"typed": typed, "uploaded": uploaded} {
		page := send(bad).Want(http.StatusUnprocessableEntity)
		page.Shows(`Line 4, column high: "97" is not a temperature`, "May, 66F, 97, 32F")
		if got := months(); got != 0 {
			t.Errorf("%s: %d months were stored of normals with a fault", name, got)
		}
	}
	uploaded(normals).Want(http.StatusSeeOther)
	if got := months(); got != 5 {
		t.Errorf("%d months stored, want 5", got)
	}
	page := v.Get("/trails/1").Want(http.StatusOK)
	page.Shows("YearDrawing-letter", "The weather book", "No normals for February, April", "not known")
	s.Visitor(t).Get("/trails/1").Want(http.StatusOK).Hides("YearDrawing")
	typed(" ").Want(http.StatusSeeOther)
	if got := months(); got != 0 {
		t.Errorf("an empty text left %d months, want 0", got)
	}
}
