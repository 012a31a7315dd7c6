package signups_test

import (
	"fmt"
	"net/http"
	"net/url"
	"os"
	"testing"
	"time"

	"saltbush/internal/signup"
	"saltbush/internal/site"
	"saltbush/internal/site/sitetest"
)

func TestMain(m *testing.M) { os.Exit(sitetest.Main(m)) }

const signUpPath = "/hikes/1/sign-up"

// signUpForm is what somebody sends with whom there is nothing to talk over.
func signUpForm(n int) url.Values {
	return url.Values{
		"name":          {fmt.Sprintf("Walker %03d", n)},
		"email":         {fmt.Sprintf("walker%d@example.org", n)},
		"mobile":        {fmt.Sprintf("602 555 0%03d", n)},
		"contact":       {"Somebody At Home"},
		"contact_tel":   {"480 555 0199"},
		"walk_distance": {"80"},
		"walk_unit":     {"km"},
		"walk_climb":    {"4000"},
		"climb_unit":    {"m"},
		"walk_hours":    {"3"},
		"walk_ago":      {"2"},
		"longest":       {"9 km, three hours, fine"},
		"hot_days":      {"3"},
		"hot_before":    {"yes"},
		"lives_here":    {"yes"},
		"heat_ill":      {"no"},
		"health":        {"no"},
		"shoes":         {"boots"},
		"water":         {"4"},
		"age":           {"adult"},
		"agree":         {"on"},
	}
}

// open is a site that people sign up to, by a clock.
type open struct {
	*sitetest.Site
	clock *sitetest.Clock
}

func serve(t testing.TB, f sitetest.Fixture, change ...func(*site.Options)) open {
	t.Helper()
	clock := sitetest.NewClock(time.Now())
	return open{sitetest.Pages(t, f, clock.Now, change...), clock}
}

// seal opens the form as a browser does, lets as much time pass as a quick person needs, and
// returns what proves that the form was opened.
func (o open) seal(t testing.TB, v *sitetest.Visitor) string {
	t.Helper()
	seal := v.Get(signUpPath).Want(http.StatusOK).Attr("input[name=seal]", "value")
	o.clock.Pass(3 * time.Second)
	return seal
}

// signUp sends the form as somebody new, and returns the path of their private page.
func (o open) signUp(t testing.TB, v *sitetest.Visitor, form url.Values) (place string) {
	t.Helper()
	form.Set("seal", o.seal(t, v))
	return v.Post(signUpPath, form).Want(http.StatusSeeOther).Location()
}

// the only sign-up of hike 1, which must be in that state.
func (o open) only(t testing.TB, want signup.State) signup.SignUp {
	t.Helper()
	list := o.SignUps(t, 1)
	if len(list) != 1 || list[0].State != want {
		t.Fatalf("sign-ups %+v, want one that is %s", list, want)
	}
	return list[0]
}
