// Package web serves Saltbush's pages. Every route stands in the list of routes.go with
// the action that it needs; handlers parse, call once, and redirect or render. Rules
// live in the domain packages, words and layout in web/view.
package web
