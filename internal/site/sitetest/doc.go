// Package sitetest runs whole sites inside a test, each on a database of its own.
//
// A test package needs a TestMain, and a test names a fixture:
//
//	func TestMain(m *testing.M) { os.Exit(sitetest.Main(m)) }
//
//	func TestLeaderClosesTheRoll(t *testing.T) {
//		t.Parallel()
//		s := sitetest.Start(t, sitetest.Staffed)
//		leader := s.SignIn(t, sitetest.Leader)
//		leader.Post("/hikes/1/close", nil).Want(http.StatusUnprocessableEntity).Shows("2 people")
//	}
//
// Start serves and does the jobs of a site (watch, mail, waitlists) at short intervals.
// Pages serves only: its test calls Watch, TendPlaces, RemindStaff or Retire when it likes,
// by a Clock of its own. A fixture is run once in a test binary; each test gets a copy of
// that database, which takes some 20 ms.
//
// Pages that need a browser with scripts are tested with package chromium.
package sitetest
