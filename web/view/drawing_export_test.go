package view

// DrawnWalk opens the page of a walk's drawings to the tests that look at them.
var DrawnWalk = drawnWalk
