//go:build race

package scenarios_test

// slow is by how much a time limit is stretched: the race detector costs four
// to twelve times.
const slow = 12
