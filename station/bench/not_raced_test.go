//go:build !race

package bench

const raced = false
