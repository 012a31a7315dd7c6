package signups_test

import (
	"context"
	"encoding/json"
	"net/http"
	"net/url"
	"testing"
	"time"

	"saltbush/internal/signup"
	"saltbush/internal/site/sitetest"
)

func TestPersonTakesAndDeletesTheirData(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	o := serve(t, sitetest.Staffed)
	_, place := sitetest.AddSignUp(t, o.DB, sitetest.Walker("Amaya Reyes", "amaya@example.org"))
	v := o.Visitor(t)
	page := v.Get(place + "/data").Want(http.StatusOK)
	page.Shows("Amaya Reyes", "555 0101 555", "amaya@example.org", "your place is given back")
	checkOwnFile(t, v.Get(place+"/data.json").Want(http.StatusOK))

	sure := url.Values{"sure": {"yes"}}
	v.Post(place+"/data", nil).Want(http.StatusUnprocessableEntity).Shows("Tick this box")
	if err := o.DB.HoldHike(ctx, 1, "a claim", "Juniper Vale", time.Now()); err != nil {
		t.Fatal(err)
	}
	v.Post(place+"/data", sure).Want(http.StatusConflict).Shows("A legal hold stands")
	o.only(t, signup.Confirmed)
	if err := o.DB.LiftHold(ctx, 1, "settled", "Juniper Vale", time.Now()); err != nil {
		t.Fatal(err)
	}
	v.Post(place+"/data", sure).Want(http.StatusOK).Shows("It is deleted")
	if list := o.SignUps(t, 1); len(list) != 0 {
		t.Errorf("left %+v, want nothing", list)
	}
	v.Get(place).Want(http.StatusNotFound)
}

func checkOwnFile(t *testing.T, page sitetest.Page) {
	t.Helper()
	var file struct {
		Name        string            `json:"name"`
		ContactName string            `json:"contact_name"`
		Kept        map[string]string `json:"kept_until"`
		Records     struct{ Roll, Mail []json.RawMessage }
	}
	if err := json.Unmarshal([]byte(page.Body), &file); err != nil {
		t.Fatal(err)
	}
	if file.Name != "Amaya Reyes" || file.ContactName != "Teo Reyes" || len(file.Kept) == 0 {
		t.Errorf("file %+v, want Amaya Reyes, Teo Reyes, and until when each is kept", file)
	}
	if file.Records.Roll == nil || file.Records.Mail == nil {
		t.Errorf("records %+v, want lists, empty where nothing is on file", file.Records)
	}
}
