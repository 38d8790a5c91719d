// Package sheet reads and writes what people hand in: plans, check sheets, the
// values of a standard's certificate, methods of thickness, survey sheets,
// studies, comparisons, and the mapping of a table of their own.
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
//	intermediate_months = 3    # from any check to the next intermediate one; may be left out
//	believable = "0.1 mm"      # larger errors are taken for slips; may be left out
//
//	[limit]                    # value, with per_length and at_least if it grows,
//	value = "4 um"             # or [[limit.row]] with up_to and value
//	origin = "own"
//
//	[rule]                     # left out: the house's
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
// certificates size them; pooled_over = "points" takes one s of the readings at
// all points. Resolution, zero resolution, block drift, flatness,
// parallelism and expansion difference may leave theirs to the gauge and the
// standards. Block drift is a half_width for each year, wringing is for each
// joint; what grows with the length may have per_length.
//
// A plan may verify other parts beside length, or in its place: then points
// and all that belongs to them are left out. Every length, force, mass and
// pressure in these tables has its unit, but those of openings, points and
// loads, which are in the plan's.
//
//	[foot]                     # force and pressure of a thickness gauge's foot
//	drive = "dead weight"      # this if left out; or spring
//	openings = ["1", "3", "5"] # three or more, ascending
//	unit = "g"                 # of readings without one: mass for a balance, else force
//	readings = 3               # at each opening and in each direction
//	minimum = 3                # fewer are too few; left out: as readings
//	believable = "50 %"        # this if left out: what lies further outside the
//	                           # band, or from the load, is taken for a slip
//	interval_months = 6        # left out: the plan's
//	friction = "0.5 kPa"       # half the difference lifting - lowering; may be left out
//	spread = "1 kPa"           # over the travel; may be left out
//	[foot.band]                # what every opening is held to: a pressure, a
//	low = "47.8 kPa"           # force, or the mass of the load itself
//	high = "50.4 kPa"
//	origin = "own"
//	[[foot.band_at]]           # in its place, of a spring, for each opening:
//	opening = "1"              # opening, low, high, origin
//	[foot.diameter]            # low, high, origin; may be left out
//	[foot.rule]                # as [rule]; left out: the plan's
//	[[foot.contribution]]      # see below
//
//	[force]                    # measuring force
//	points = ["2", "20"]       # openings or strokes
//	return = true              # read on the way back too; left out: false
//	unit = "N"
//	readings = 5
//	spread = "2 N"             # of all readings; may be left out
//	difference = "0.5 N"       # of the directions; may be left out
//	[force.band]               # low, high, origin
//
//	[load]                     # a scale, force or pressure gauge under loads
//	loads = ["20", "50"]       # in the plan's unit
//	down = true                # taken off and read again; left out: false
//	certified = true           # weights known by their class are not enough
//	readings = 3
//	[load.limit]
//	class = "ISO 7500-1 class 1"  # or EN 837-1; or all that follows
//	error = "1 %"
//	of = "reading"             # or full scale, or span
//	repeatability = "1 %"      # these may be left out
//	hysteresis = "1.5 %"
//	zero_return = "0.1 %"      # of full scale, or of the span
//	origin = "own"
//
//	[care]                     # masses above which a person is warned; the
//	one_hand = "10 kg"         # house's if left out, else 10 and 20 kg
//	one_person = "20 kg"
//
// What gravity, air, weights, instrument and foot contribute is in every
// budget. A part's contributions size what the records leave open, and add to
// it: repeatability (pooled_s, which then counts however many readings there
// are, or pooled_over = "points", one s of all places and directions), resolution, zero resolution, instrument drift, weight drift, air
// buoyancy, foot size, piston temperature, mechanical effects, other. A size
// is in the dimension of what is measured, or in per cent of it.
//
// # Check sheet
//
//	format = 1
//	gauge = "MIC-014"
//	plan = "micrometer-0-25"   # may be left out, as all that follows to the points
//	date = 2026-11-16
//	received = 2026-11-13      # where it matters when the gauge came
//	site = "hall 4, at the press" # if not where the house makes its checks
//	person = "EK"
//	stage = "as found"         # this if left out; or as left
//	purpose = "full"           # this if left out; or intermediate
//	standards = ["GB-1", "TH-1"]
//	condition = "clean"
//	remarks = ""
//
//	[environment]
//	temperature = 20.4         # °C where no unit is written
//	blocks = 20.3              # where theirs was read too
//	humidity = 48              # in per cent
//	pressure = "1013 hPa"      # of the air, for its density
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
//	[[skipped]]                # a place of the plan that was left out
//	part = "length"            # this if left out
//	at = 5.1
//	reason = "block at the laboratory"
//
// A reading with a comment is { value = "2.501", comment = "read twice" }.
// The same as CSV has the columns at, blocks, comment, skipped and as many
// columns named reading as are needed, each of the others at most once; the
// blocks of a stack are joined by "+", a row "zero" holds the zero, and skipped
// says why a place was left out. Lines
// "# gauge: MIC-014" carry gauge, plan, date, person, stage, purpose, standards
// (joined by "+"), site, condition, remarks, received, temperature, blocks_temperature, humidity;
// lines that begin with "##", or without a single word before a colon, are
// comments.
//
// The parts beside length have four columns more, each row one place and one
// direction: part (foot, force, load; empty or length for a length), direction
// (lowering, lifting; in, out; up, down; before, after for the zero of a load),
// weights, joined by "+", and instrument, or tester of a load, once for a part
// or on each of its rows. A row of the foot at "diameter", without a direction,
// holds the readings of its diameter.
//
//	part,at,direction,weights,reading,reading,reading
//	load,20,up,2 kg + WS-1:200 g*,19.60,19.61,19.60
//
// In TOML they are tables. An instrument or tester
// that is not named is the only one of its kind under standards.
//
//	[foot]
//	instrument = "BAL-1"
//	diameter = ["10.01 mm", "10.02 mm", "10.01 mm"]  # where it is measured too
//	diameter_by = "MIC-014"
//	[[foot.point]]
//	at = "1"
//	lowering = ["392.6", "392.8", "392.7"]
//	lifting = ["393.4", "393.2", "393.3"]
//
//	[force]
//	instrument = "FG-1"
//	[[force.point]]
//	at = "2"
//	in = ["7.10", "7.30", "7.20"]
//	out = ["6.90", "7.00", "6.95"]
//
//	[load]
//	tester = "PT-1"            # where weights press through a piston
//	zero = ["0.00"]            # before the first load
//	return = ["0.01"]          # after the last
//	[[load.point]]
//	load = "20"
//	weights = ["2 kg", "WS-1:200 g*"]  # stars tell two alike apart; left out:
//	                           # proposed from the set
//	up = ["19.60", "19.61", "19.60"]
//	down = ["19.65", "19.66", "19.65"]
//
// # Values of a certificate
//
// CSV with the columns nominal, deviation or value (for lengths also named
// length), expanded (or U), k, dof, grade, serial, in any order; a column's
// unit may stand in its name, as "deviation (um)". A row has a deviation or a
// value, with expanded and k; or a grade alone. For weights, value may be named
// mass, grade class (OIML R 111-1) and serial mark; for an instrument that is
// read, nominal is the true value and value, also named indication, what it
// indicates.
//
// # Piston of a pressure tester
//
//	format = 1
//	area = "80.6 mm²"          # effective, at 20 °C and no pressure
//	area_expanded = "0.008 mm²"
//	k = 2
//	distortion = "1 ppm/MPa"   # these may be left out
//	distortion_expanded = "0.1 ppm/MPa"  # k as above
//	expansion = "22 ppm/°C"    # of piston and cylinder together
//	expansion_expanded = "1 ppm/°C"
//	tension = "31 mN/m"        # surface tension of the liquid about the piston
//	tension_half_width = "3 mN/m"
//	carrier = "0.5 kg"         # conventional mass of piston and carrier
//	carrier_expanded = "5 mg"
//	head = "100 mm"            # of the piston's level above the gauge's
//	head_half_width = "2 mm"
//	fluid = "860 kg/m³"
//	fluid_half_width = "20 kg/m³"
//
// # Method of thickness
//
//	format = 1
//	name = "felt-by-hand"
//	title = "Pad felt under a hand-lifted dial gauge"
//	material = "wool felt"     # may be left out, as all that says so below
//	source = "common practice" # document, edition and clause
//	mark = "own"               # read, memory, common practice, own
//	note = ""                  # may be left out
//	report = "mean"            # this if left out; or median
//	resolution = "0.001 in"    # coarsest step of the gauge; may be left out
//	accuracy = "0.002 in"      # largest error of the gauge there; may be left out
//
//	[foot]                     # may be left out
//	shape = "flat, round"
//	[foot.diameter]            # or [foot.area]: low, high, origin
//	[pressure]                 # a pressure, or the force or mass of the load
//	low = "5 psi"
//	high = "7 psi"
//	nominal = "6 psi"          # left out: the middle
//	origin = "common practice"
//	[dwell]                    # may be left out
//	seconds = 5
//	tolerance = 1              # may be left out
//	origin = "common practice"
//	[places]
//	least = 10                 # fewer are too few
//	readings = 1               # at each; this if left out
//	edge_free = "50 mm"        # may be left out, as layout and origin
//	layout = "evenly over the sheet"
//	[[places.by_width]]        # takes the place of least; ascending
//	up_to = "300 mm"           # left out in the last row: any width
//	least = 10
//	[[contribution]]           # kind other or mechanical effects, as in a plan
//
// # Survey sheet
//
//	format = 1
//	lot = "FELT-118"           # may be left out, as all that follows to the places
//	method = "felt-by-hand"
//	gauge = "THK-005"
//	date = 2026-11-16
//	person = "JV"
//	grid = "3x5"               # columns across x rows along; else positions
//	zero = ["0.000"]
//	wanted = "0.0005 in"       # U of the mean, for the number of places
//	share = 0.95               # of the statistical tolerance interval,
//	confidence = 0.95          # these if left out
//	override = ""              # why a gauge is used that is not fit today
//	remarks = ""
//
//	[environment]              # temperature, humidity, pressure
//	[[place]]
//	at = "A1"                  # a cell of the grid, or any name; left out: in order
//	across = "50 mm"           # from the left edge, in place of a grid
//	along = "100 mm"           # from the beginning
//	readings = ["0.200"]
//	comment = ""
//	[[compression]]            # one spot at two pressures or more
//	pressure = "5 psi"
//	reading = "0.202"
//	[effect]                   # in place of a run: change of thickness for a
//	change = "-0.02 mm"        # change of pressure
//	for = "10 kPa"
//	expanded = "0.01 mm"
//	k = 2
//	source = "supplier's leaflet"
//
// As CSV it has the columns at, across, along, comment and as many named reading
// as are needed; a row zero holds the zero, and lines "# lot: FELT-118" carry
// lot, method, gauge, date, person, grid, wanted, share, confidence, override,
// remarks, temperature, humidity.
//
// # Mapping of somebody's own table
//
//	format = 1
//	table = "gauges"           # this and all that follows may be left out
//	encoding = "windows-1252"  # or utf-8, utf-16; left out: recognised
//	separator = ";"            # or "," or "\t"; left out: recognised
//	sheet = "Register"         # of a workbook; left out: the only one that holds anything
//	heading = 3                # line of the headings; left out: the first
//	dates = "day month year"   # or month day year; left out: year-month-day
//	decimal = ","              # left out: a point
//
//	[columns]                  # column = heading in the table
//	gauge = "Inventory no."
//	[fill]                     # column = value, where the table says nothing
//	kind = "outside micrometer"
//	[words.interval]           # of one column: word in the table = word here
//	yearly = "12"              # quoted where it is more than letters: "every year"
//
// # Study sheet
//
//	format = 1
//	gauge = "THK-002"
//	title = "goat skin by touch" # may be left out, as all that follows to the cells
//	process = "foot 10 mm, 49 kPa, read after 5 s"
//	date = 2026-11-16
//	person = "MH"              # who led it
//	parts = ["1", "2"]         # left out: those of the cells
//	operators = ["EK", "JV"]
//	repeats = 2
//	seed = 7                   # of the order that was planned
//	multiple = 6               # of s, set against the tolerance; this if left out
//	probability = 0.95         # of the intervals; this if left out
//	pooling = "by test"        # this if left out; or pooled, kept apart
//
//	[tolerance]
//	low = "0.95"
//	high = "1.05"
//
//	[[cell]]
//	turn = 1                   # of the order it was taken in; may be left out
//	part = "1"
//	operator = "EK"
//	readings = ["1.00", "1.01"]
//	comment = ""
//
// The same as CSV has the columns turn, part, operator, comment and as many
// columns named reading as are needed; lines "# gauge: THK-002" carry the keys
// above, parts and operators parted by commas, low and high for the tolerance.
//
// # Comparison sheet
//
//	format = 1
//	title = "sheet 4 of lot F-118"
//	date = 2026-11-16
//	person = "MH"
//	unit = "mm"                # of sizes that name none; left out: each names its own
//	per_doubling = "-0.03 mm"  # change of size where the pressure is doubled; may be left out
//	[a]
//	name = "goods-in"
//	gauge = "THK-005"          # if in this registry; all that follows may be left out
//	instrument = "hand-lifted dial gauge"
//	method = "leather"
//	foot = "10 mm"             # its diameter; or foot_area
//	pressure = "49 kPa"
//	dwell = 5                  # s
//	[[a.line]]                 # of its budget
//	name = "pressure of the foot"
//	standard = "0.004 mm"      # its part of the result's; or expanded with k
//	[b]
//	name = "supplier"
//	[[specimen]]
//	name = "1"
//	a = "2.05"
//	a_expanded = "0.02"
//	a_k = 2                    # this if left out
//	b = "2.09"
//	b_expanded = "0.02"
//
// The same as CSV has the columns specimen, a, a_expanded, a_k, b, b_expanded,
// b_k; lines "# a: goods-in", "# a_foot: 10 mm" carry the rest, but budgets.
package sheet
