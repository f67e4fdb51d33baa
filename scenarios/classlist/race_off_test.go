//go:build !race

package classlist_test

const slow = 1
