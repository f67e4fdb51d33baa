//go:build race

package classlist_test

// slow is how much longer things may take under the race detector.
const slow = 10
