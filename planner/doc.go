// Package planner does the installer's paper work: a year of a house under its
// real controller, and what is made of it. It is where the simulator and the
// controller meet; neither knows of the other.
package planner
