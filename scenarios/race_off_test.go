//go:build !race

package scenarios_test

// slow is by how much a time limit is stretched.
const slow = 1
