//go:build !race

package secondroad

const raceEnabled = false
