//go:build !race

package scenarios_test

// quarter is by how much the hostile texts are shortened.
const quarter = 1
