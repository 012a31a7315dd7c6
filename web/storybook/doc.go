// Package storybook holds every page of the site in each of its states, from fixed data. Only
// tests and the storybook command import it.
package storybook
