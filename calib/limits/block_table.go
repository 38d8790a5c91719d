package limits

// blockRow is one line of the table of gauge block limits: for lengths over
// the row before and up to and including UpTo, in mm, the limit deviation of
// the length at any point ±te and the tolerance of the variation in length tv,
// in 0.01 µm.
type blockRow struct {
	upTo int64
	k    [2]int64 // te, tv
	zero [2]int64
	one  [2]int64
	two  [2]int64
}

// blockRows is ISO 3650:1998, 7.1, table 5 (table number and the boundary rule
// from memory, sure). Grades 0, 1 and 2: read in copies of the DIN 861 table
// that is said to correspond to it. Grade K: te equals that of grade 1 (from
// memory, sure), tv read as the column 00 of the DIN 861 table.
// The last tv of grade 2 is 1.50 µm in the copies of DIN 861 and 1.00 µm in
// ISO 3650 from memory (fairly sure); the tighter one stands here.
var blockRows = []blockRow{
	{10, [2]int64{20, 5}, [2]int64{12, 10}, [2]int64{20, 16}, [2]int64{45, 30}},
	{25, [2]int64{30, 5}, [2]int64{14, 10}, [2]int64{30, 16}, [2]int64{60, 30}},
	{50, [2]int64{40, 6}, [2]int64{20, 10}, [2]int64{40, 18}, [2]int64{80, 30}},
	{75, [2]int64{50, 6}, [2]int64{25, 12}, [2]int64{50, 18}, [2]int64{100, 35}},
	{100, [2]int64{60, 7}, [2]int64{30, 12}, [2]int64{60, 20}, [2]int64{120, 35}},
	{150, [2]int64{80, 8}, [2]int64{40, 14}, [2]int64{80, 20}, [2]int64{160, 40}},
	{200, [2]int64{100, 9}, [2]int64{50, 16}, [2]int64{100, 25}, [2]int64{200, 40}},
	{250, [2]int64{120, 10}, [2]int64{60, 16}, [2]int64{120, 25}, [2]int64{240, 45}},
	{300, [2]int64{140, 10}, [2]int64{70, 18}, [2]int64{140, 25}, [2]int64{280, 50}},
	{400, [2]int64{180, 12}, [2]int64{90, 20}, [2]int64{180, 30}, [2]int64{360, 50}},
	{500, [2]int64{220, 14}, [2]int64{110, 25}, [2]int64{220, 35}, [2]int64{440, 60}},
	{600, [2]int64{260, 16}, [2]int64{130, 25}, [2]int64{260, 40}, [2]int64{500, 70}},
	{700, [2]int64{300, 18}, [2]int64{150, 30}, [2]int64{300, 45}, [2]int64{600, 70}},
	{800, [2]int64{340, 20}, [2]int64{170, 30}, [2]int64{340, 50}, [2]int64{650, 80}},
	{900, [2]int64{380, 20}, [2]int64{190, 35}, [2]int64{380, 50}, [2]int64{750, 90}},
	{1000, [2]int64{420, 25}, [2]int64{200, 40}, [2]int64{420, 60}, [2]int64{800, 100}},
}

// stabilityRow is the largest change of a block's length in one year that a
// grade allows: ±(constant + perLength · ln).
type stabilityRow struct {
	grades    string
	constant  int64 // 0.01 µm
	perLength int64 // 0.01 · 10⁻⁶
}

// stabilityRows is ISO 3650:1998, 6.2.4, for K and 0 and for 1 and 2 (clause
// from memory, sure); the form and figures read in US Army TB 9-5210-205-50,
// table 4, after ASME B89.1.9, for the corresponding grades.
var stabilityRows = []stabilityRow{
	{"K0", 2, 25},
	{"12", 5, 50},
}
