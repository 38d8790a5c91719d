package limits

// forceClass holds the relative limits of a class of force-measuring system,
// in 0.01 %: accuracy q, repeatability b, reversibility v, zero f0.
type forceClass struct {
	name       string
	q, b, v, f int64
}

// forceClasses is ISO 7500-1 (2015 and 2018), table 2, from memory, sure. q, b
// and v are of the reading, f0 of full scale.
var forceClasses = []forceClass{
	{"0.5", 50, 50, 75, 5},
	{"1", 100, 100, 150, 10},
	{"2", 200, 200, 300, 20},
	{"3", 300, 300, 450, 30},
}

// pressureClasses are the accuracy classes of EN 837-1:1996, each the limit of
// error in per cent of the span, from memory, sure.
var pressureClasses = []string{"0.1", "0.25", "0.6", "1", "1.6", "2.5", "4"}
