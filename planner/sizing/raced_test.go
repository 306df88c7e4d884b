//go:build race

package sizing

const raced = true
