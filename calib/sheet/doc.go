// Package sheet reads and writes what people hand in: plans, check sheets, the
// values of a standard's certificate.
//
// It knows the written form of each, on which line everything stands, and
// which words, units and sizes a form may hold: bytes come in, nouns go out.
// It refuses to know files, records, dates of today, and what a check means:
// it never opens a file and computes no error.
//
// Plans and check sheets are TOML, check sheets and certificate values CSV.
// Numbers keep the digits they were written with, bare or in quotes. Every
// refusal is one line that begins with the name that was handed in and the
// line number; certificate values report every bad line.
//
// # Plan
//
//	format = 1
//	name = "micrometer-0-25"
//	title = "Outside micrometer 0 to 25 mm"
//	kind = "outside micrometer"
//	method = ""                # procedure followed, in words; may be left out
//	note = ""                  # may be left out
//	unit = "mm"                # of every length below that names none
//	points = ["2.5", "5.1"]    # ascending
//	readings = 3               # at each point
//	minimum = 3                # fewer are too few; left out: as readings
//	zero = "recorded"          # none (if left out), recorded, subtracted
//	probability = 0.95         # of coverage; this if left out
//	digits = 2                 # significant digits of U; this if left out
//	interval_months = 12       # may be left out
//	believable = "0.1 mm"      # larger errors are taken for slips; may be left out
//
//	[limit]                    # value, with per_length and at_least if it grows,
//	value = "4 um"             # or [[limit.row]] with up_to and value
//	origin = "own"
//
//	[rule]
//	name = "simple acceptance" # guarded acceptance, four verdicts: factor (1 if left out)
//	                           # by risk: risk
//	[environment]              # may be left out, as each of its keys
//	low = "18 °C"
//	high = "22 °C"
//	difference = "1 °C"        # between gauge and blocks
//
//	[gates]                    # stop (if left out), mark, ignore
//	"standard out of date" = "mark"
//
//	[[contribution]]
//	kind = "wringing"
//	name = ""                  # printed; needed for the kind other
//	shape = "normal"           # rectangular, triangular, arcsine
//	standard = "0.02 um"       # or half_width, or expanded with k
//	per_length = "0.5 um/m"    # may be added to the size
//	dof = 50                   # of the size; infinite if left out
//	source = "common practice"
//
// Sizes are in the dimension of what varies. Repeatability and blocks take
// none: the readings, or pooled_s and pooled_dof of earlier checks, and the
// certificates size them. Resolution, zero resolution, block drift, flatness,
// parallelism and expansion difference may leave theirs to the gauge and the
// standards. Block drift is a half_width for each year, wringing is for each
// joint; what grows with the length may have per_length.
//
// # Check sheet
//
//	format = 1
//	gauge = "MIC-014"
//	plan = "micrometer-0-25"   # may be left out, as all that follows to the points
//	date = 2026-11-16
//	person = "EK"
//	stage = "as found"         # this if left out; or as left
//	standards = ["GB-1", "TH-1"]
//	condition = "clean"
//	remarks = ""
//
//	[environment]
//	temperature = 20.4         # °C where no unit is written
//	blocks = 20.3              # where theirs was read too
//	humidity = 48              # in per cent
//
//	[zero]
//	readings = ["0.000", "0.001"]
//
//	[[point]]
//	at = 2.5
//	blocks = ["1.5", "GB-1:1"] # left out: proposed from the set
//	readings = ["2.501", "2.501", "2.502"]
//	comment = ""
//
// The same as CSV has the columns at, blocks, comment and as many columns
// named reading as are needed, each of the first three at most once; the
// blocks of a stack are joined by "+", and a row "zero" holds the zero. Lines
// "# gauge: MIC-014" carry gauge, plan, date, person, stage, standards (joined
// by "+"), condition, remarks, temperature, blocks_temperature, humidity;
// lines that begin with "##", or without a single word before a colon, are
// comments.
//
// # Values of a certificate
//
// CSV with the columns nominal, deviation or value (for lengths also named
// length), expanded (or U), k, dof, grade, serial, in any order; a column's
// unit may stand in its name, as "deviation (um)". A row has a deviation or a
// value, with expanded and k; or a grade alone.
package sheet
