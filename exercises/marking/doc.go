// Package marking judges answers as they were typed.
package marking
