package limits

// micrometerRow is the error limit of an outside micrometer whose range begins
// at low, in mm, and spans 25 mm.
type micrometerRow struct {
	low   int64
	limit int64 // µm
}

// micrometerRows is the table of DIN 863-1, read (edition not stated in the
// copy); the same numbers stood in ISO 3611:1978 (from memory, sure). The
// figure is the span of the error curve, highest less lowest error.
var micrometerRows = []micrometerRow{
	{0, 4}, {25, 4}, {50, 5}, {75, 5}, {100, 6}, {125, 6}, {150, 7}, {175, 7}, {200, 8}, {225, 8},
	{250, 9}, {275, 9}, {300, 10}, {325, 10}, {350, 11}, {375, 11}, {400, 12}, {425, 12}, {450, 13}, {475, 13},
}

// caliperRow is the error limit of a caliper read to 0.05 or 0.1 mm for
// lengths over the row before and up to and including UpTo, in mm.
type caliperRow struct {
	upTo  int64
	limit int64 // µm
}

// caliperRows is the column for vernier and dial calipers of 0.1 and 0.05 mm
// of DIN 862 (1988), outside measurement, read; the alignment of the columns
// from memory, sure. The columns for 0.02 and 0.01 mm are not built in: their
// steps at 100 and 200 mm are from memory, fairly sure.
var caliperRows = []caliperRow{
	{50, 50}, {100, 50}, {200, 50}, {300, 50}, {400, 60}, {500, 70}, {600, 80}, {700, 90},
	{800, 100}, {900, 110}, {1000, 120}, {1200, 140}, {1400, 160}, {1600, 180}, {1800, 200}, {2000, 220},
}

// dialRow holds the limits of a dial gauge for ranges over the row before and
// up to and including UpTo, in mm, in 0.1 µm.
type dialRow struct {
	small                                             bool  // bezel below 50 mm, or a back plunger
	graduation                                        int64 // µm
	upTo                                              int64 // mm
	retrace, repeat, tenthTurn, halfTurn, turn, whole int64
}

// dialRows is the table of maximum permissible errors of JIS B 7503:2011, read
// as digits run together; the split into columns is this project's own and
// re-joins to what was read.
var dialRows = []dialRow{
	{false, 10, 1, 30, 30, 50, 80, 80, 80},
	{false, 10, 3, 30, 30, 50, 80, 90, 100},
	{false, 10, 5, 30, 30, 50, 90, 100, 120},
	{false, 10, 10, 30, 30, 50, 90, 100, 150},
	{false, 10, 20, 50, 40, 80, 100, 150, 250},
	{false, 10, 30, 70, 50, 100, 120, 150, 300},
	{false, 10, 50, 80, 50, 100, 120, 150, 400},
	{false, 10, 100, 90, 50, 120, 170, 200, 500},
	{false, 5, 5, 30, 30, 50, 90, 100, 120},
	{false, 1, 1, 20, 5, 20, 35, 40, 50},
	{false, 1, 2, 20, 5, 20, 40, 50, 70},
	{false, 1, 5, 30, 10, 35, 50, 60, 100},
	{true, 10, 1, 40, 30, 80, 110, 120, 150},
	{true, 10, 3, 40, 30, 80, 110, 120, 160},
	{true, 10, 5, 40, 30, 80, 120, 140, 180},
	{true, 10, 10, 50, 30, 90, 120, 140, 200},
	{true, 5, 5, 35, 30, 60, 90, 100, 120},
	{true, 2, 1, 25, 10, 25, 45, 50, 60},
	{true, 1, 1, 20, 10, 25, 40, 45, 50},
}

// micrometerSteps are the usual test points of an outside micrometer above the
// low end of its range: for a screw of 0.5 mm pitch they stand at different
// angles of the thimble, so that periodic errors show. ISO 3611:1978, BS 870,
// DIN 863 (from memory, sure).
var micrometerSteps = []string{"2.5", "5.1", "7.7", "10.3", "12.9", "15.0", "17.6", "20.2", "22.8", "25.0"}

// inchMicrometerSteps are the same for a screw of 0.025 in pitch, in inches
// (from memory, sure).
var inchMicrometerSteps = []string{"0.105", "0.210", "0.315", "0.420", "0.500", "0.605", "0.710", "0.815", "0.920", "1.000"}
