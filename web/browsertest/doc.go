// Package browsertest holds the tests that need a browser with scripts. All of them share one
// Chromium, and each has a tab of its own. With -short, and on a machine without Chromium,
// they are skipped: begin each with chromium.Needs, before a site is set up.
//
// The harness is package chromium below internal/site/sitetest: Open and Press look at each
// page, which must fit the screen and pass the rules of axe-core.
package browsertest
