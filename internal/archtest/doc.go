// Package archtest holds the test that keeps the packages in their order:
// arrows point down only, the engines know nothing of the program around
// them, and the check of a plan shares no code with what made it. It has no
// code but its test.
package archtest
