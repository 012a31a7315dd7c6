// Package web assembles the site: it makes each area with the few things that area needs, and
// lists every route in routes.go with the action that account.May is asked about.
//
// An area, such as web/signups, holds handlers; its view folder holds the templ pages and the
// structs of display text that they take. Areas share web/kit (requests), web/ui (components)
// and web/chart (drawings), and never import each other. Rules live in the domain packages.
//
// # How to add a page
//
//  1. Add the route to routes.go. Use an action of account/permission.go, or add one there.
//     SeeCalendar and SeeTrail are everybody's.
//  2. Say who may open it in mayOpen of routes_test.go. That table is written by hand, apart
//     from the policy, so that a slip in one shows against the other.
//  3. Say which personal data it shows in shownBy of visibility_table_test.go, even if none.
//  4. Write the handler in the file of its noun: parse, call the domain or a store, then show the
//     form again, redirect or render. It returns an error, and kit/errors.go turns that into a page.
//  5. Write the page in view/NOUN.templ. It takes one struct of text (declared in view/NOUN.go) and computes
//     nothing. Run go tool templ generate -path web, and commit the generated file.
//  6. Add each of its states to web/storybook, the empty and the failed one too, and look at them
//     on a narrow and a wide screen: go run ./cmd/storybook.
//  7. Link to it from the page where people need it.
//  8. Test it beside the area with package sitetest, by selector. Add a line to .github/CHANGELOG.md.
//
// Everything but the live board and the roll without signal works with scripts off. The content
// policy forbids inline scripts and styles. A page that advises shows the cautions.
package web
