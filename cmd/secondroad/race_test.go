//go:build race

package secondroad

const raceEnabled = true
