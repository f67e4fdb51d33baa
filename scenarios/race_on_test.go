//go:build race

package scenarios_test

// quarter is by how much the hostile texts are shortened: the race detector
// costs four to twelve times.
const quarter = 4
