//go:build !race

package generator

const raceEnabled = false
