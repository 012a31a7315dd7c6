// Package chromium drives a real browser over sites of package sitetest. All tests of a
// package share one Chromium, which starts with the first tab; each tab has cookies,
// storage and service workers of its own.
//
//	func TestMain(m *testing.M) { os.Exit(chromium.Main(m)) }
//
//	func TestBoardInABrowser(t *testing.T) {
//		t.Parallel()
//		s := sitetest.Start(t, sitetest.Staffed)
//		v := chromium.Open(t, s.URL, chromium.Phone)
//		v.SignIn(sitetest.Coordinator)
//		v.Open("/board")
//		v.Sees("Nobody is out")
//	}
//
// Open and Press look at each page: it must fit the screen in the machine's own fonts, in
// wide ones and in narrow ones, and the rules of axe-core must hold. With SALTBUSH_SHOTS set
// they keep a picture in that folder.
package chromium
