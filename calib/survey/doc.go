// Package survey takes the thickness of lots of soft sheet by a method.
//
// It knows what a method fixes (foot, pressure, dwell, places, which result is
// reported), which gauge may serve it today, how readings become thicknesses,
// what pressure does to a soft sheet, the uncertainty of a lot's mean and of
// one place, trends over a lot, and how a tolerance turns them into verdicts.
// It refuses to know how the gauge was checked, where records live, what day
// it is, and how anything is printed: a gauge's checks come in finished.
//
// All lengths inside are in millimetres. A position is a share of the lot's
// width or length, 0 to 1, wherever a trend or a map is made of it.
package survey
