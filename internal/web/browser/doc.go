// Package browser holds tests only: the program serves a folder, and a real
// browser (Chromium) goes through the pages as a person would.
//
// Pictures of the pages are kept in the folder that the environment names with
// SAWBILL_SCREENSHOTS, and are dropped without it.
package browser
