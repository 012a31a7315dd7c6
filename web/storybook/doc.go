// Package storybook draws every page of the site in each of its states, from fixed data. It draws
// the real forms of the areas. Only tests and the storybook command import it.
package storybook
