// Package embedded solves linear programs by the simplex method in pure Go.
package embedded
